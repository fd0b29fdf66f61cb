import type { BodyName } from "../../../../sky/types.ts";
import { ofOneJob } from "../../../state/ofOneJob.ts";

/** Nothing asked for yet. */
const NOTHING = {
  date: "",
  from: "20:00",
  to: "01:00",
  figures: [] as string[],
  bodies: [] as BodyName[],
  over: {} as Record<string, number>,
  mostTurnedDeg: 180,
  milkyWay: false,
  wall: null as number | null,
  dark: true,
};

/** What the client asks for, as filled in so far. */
class WishForm {
  /** "" takes the evening of the chosen night. */
  date = $state(NOTHING.date);
  from = $state(NOTHING.from);
  to = $state(NOTHING.to);
  figures = $state.raw(NOTHING.figures);
  bodies = $state.raw(NOTHING.bodies);
  /** Over which wall each figure is to stand, by abbreviation. */
  over = $state.raw(NOTHING.over);
  /** Degrees they may be turned from upright, seen from the seat; 180 is any way. */
  mostTurnedDeg = $state(NOTHING.mostTurnedDeg);
  milkyWay = $state(NOTHING.milkyWay);
  /** Number of the wall the Milky Way is to run along. */
  wall = $state(NOTHING.wall);
  dark = $state(NOTHING.dark);

  constructor() {
    ofOneJob(() => Object.assign(this, NOTHING));
  }
}

export const wishForm = new WishForm();
