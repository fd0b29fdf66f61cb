import type { Seat } from "../../../scene/camera.ts";
import { seatsOf } from "../../../scene/seats.ts";
import { studio } from "../../state/studio.svelte.ts";
import type { SceneMode } from "./worker/api.ts";
import { ofOneJob } from "../../state/ofOneJob.ts";

const REDUCED = matchMedia("(prefers-reduced-motion: reduce)");

/** What lies open in the night part; never saved with the job. */
class NightDesk {
  /** Nights ticked to be put side by side, by id. */
  compared = $state.raw<string[]>([]);
  wall = $state(false);
  /** Which of the job's seats (or of those it starts with) is looked from. */
  seat = $state(0);
  mode = $state<SceneMode>("strands");
  names = $state(false);
  /** Twinkle stands still: on demand, where reduced motion is asked for, or where pictures come too slowly. */
  still = $state(REDUCED.matches);
  /** It stands still because pictures came too slowly. */
  tooSlow = $state(false);
  #askedToMove = false;
  /** The dimmer while it is being moved; null: the job's. */
  dimmer = $state<number | null>(null);
  /** A seat being moved over the plan, with its number; null: none is. */
  moving = $state.raw<Seat | null>(null);

  constructor() {
    REDUCED.addEventListener("change", () => this.hold(REDUCED.matches));
    ofOneJob(() => {
      this.compared = [];
      this.wall = false;
      this.seat = 0;
      this.dimmer = this.moving = null;
    });
  }

  /** Holds the twinkle still, or lets it go. */
  hold(still: boolean): void {
    this.still = still;
    this.tooSlow = false;
    this.#askedToMove = !still;
  }

  /** Pictures come too slowly: a still one is better, unless a person has asked for them all the same. */
  slow(): void {
    if (this.#askedToMove) return;
    this.still = true;
    this.tooSlow = true;
  }

  /** The job's seats, or those every room starts with. */
  readonly seats = $derived<Seat[]>(
    studio.ready && studio.ceiling ? seatsOf(studio.job, studio.ceiling) : [],
  );
  readonly seatIndex = $derived(Math.min(this.seat, this.seats.length - 1));
  readonly seatNow = $derived<Seat | undefined>(this.moving ?? this.seats[this.seatIndex]);
  readonly light = $derived(this.dimmer ?? (studio.ready ? studio.job.scene.dimmer : 0));
  /** Ids ticked that the job still holds. */
  readonly beside = $derived(
    studio.ready ? this.compared.filter((id) => studio.job.sky.options.some((o) => o.id === id)) : [],
  );
}

export const nightDesk = new NightDesk();
