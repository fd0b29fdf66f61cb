import { wayWith } from "./way.ts";

/** The way of a worker that draws, pictures or reckons: holes and bundles come from the workers that make them. */
export const work = wayWith({}, "holes", "bundles");
