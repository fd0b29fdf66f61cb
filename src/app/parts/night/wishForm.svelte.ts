import type { BodyName } from "../../../sky/types.ts";

/** What the client asks for, as filled in so far. */
class WishForm {
  /** "" takes the evening of the chosen night. */
  date = $state("");
  from = $state("20:00");
  to = $state("01:00");
  figures = $state.raw<string[]>([]);
  bodies = $state.raw<BodyName[]>([]);
  /** Number of the wall the Milky Way is to run along. */
  wall = $state<number | null>(null);
  dark = $state(true);
}

export const wishForm = new WishForm();
