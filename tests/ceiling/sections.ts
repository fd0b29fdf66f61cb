import { ceilingSchema } from "../../src/job/sections/ceiling.ts";
import type { z } from "zod";

type Input = z.input<typeof ceilingSchema>;
export type Section = z.output<typeof ceilingSchema>;

/** A room of 16 x 12 ft under 24 in modules, with whatever a test changes. */
export function section(change: Partial<Input> = {}): Section {
  return ceilingSchema.parse({
    outlineMm: rectangle(4876.8, 3657.6),
    grid: { moduleMm: [609.6, 609.6] },
    bearingFrom: "given",
    ...change,
  });
}

export const rectangle = (width: number, depth: number): [number, number][] => [
  [0, 0],
  [width, 0],
  [width, depth],
  [0, depth],
];
