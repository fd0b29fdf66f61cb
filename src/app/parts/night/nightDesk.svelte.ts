import type { Seat } from "../../../scene/camera.ts";
import type { SceneMode } from "../../worker/nightApi.ts";

/** What lies open in the night part; never saved with the job. */
class NightDesk {
  /** Nights ticked to be put side by side, by id. */
  compared = $state.raw<string[]>([]);
  wall = $state(false);
  /** Which of the job's seats (or of those it starts with) is looked from. */
  seat = $state(0);
  mode = $state<SceneMode>("strands");
  names = $state(false);
  /** Twinkle stands still: on demand, and from the start where reduced motion is asked for. */
  still = $state(matchMedia("(prefers-reduced-motion: reduce)").matches);
  /** The dimmer while it is being moved; null: the job's. */
  dimmer = $state<number | null>(null);
  /** The seats of the newest ceiling. */
  seats = $state.raw<Seat[]>([]);
}

export const nightDesk = new NightDesk();
