import type { BodyName } from "../../../../sky/types.ts";

/** What the client asks for, as filled in so far. */
class WishForm {
  /** "" takes the evening of the chosen night. */
  date = $state("");
  from = $state("20:00");
  to = $state("01:00");
  figures = $state.raw<string[]>([]);
  bodies = $state.raw<BodyName[]>([]);
  /** Over which wall each figure is to stand, by abbreviation. */
  over = $state.raw<Record<string, number>>({});
  /** Degrees they may be turned from upright, seen from the seat; 180 is any way. */
  mostTurnedDeg = $state(180);
  milkyWay = $state(false);
  /** Number of the wall the Milky Way is to run along. */
  wall = $state<number | null>(null);
  dark = $state(true);
}

export const wishForm = new WishForm();
