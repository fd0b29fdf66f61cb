import { transfer } from "comlink";
import { untrack } from "svelte";
import type { BoxUm } from "../../../../geometry/types.ts";
import type { Fault } from "../../../../job/faults.ts";
import type { Job } from "../../../../job/schema.ts";
import type { Night } from "../../../../job/sections/sky.ts";
import { chosenNight } from "../commands/nights.ts";
import { desk } from "../../../state/desk.svelte.ts";
import type { Edit } from "../../../state/edit.ts";
import { say } from "../../../state/notices.svelte.ts";
import { seldom } from "../../../state/seldom.ts";
import { studio } from "../../../state/studio.svelte.ts";
import { latest } from "../../../worker/latest.ts";
import type { NightHours, SkyPicture, SkyRequest } from "../worker/api.ts";
import { paced } from "../../../worker/paced.ts";
import { pipelined } from "../../../worker/pipelined.ts";
import { liveCore, sceneCore } from "../worker/client.ts";

/** How far round the room the sky is shown, as a part of its longer side. */
const ROUND_SHARE = 0.22;
/** One sky is painted while the next is worked out. */
const UNDER_WAY = 2;
/** Arrays worth keeping: as many as can be under way or waiting for their frame. */
const SPARES = 4;
/** While something is dragged the words in the panels change no oftener: each time the page is laid out anew. */
const WORDS_MS = 100;

interface Told {
  night: Night;
  picture: SkyPicture | null;
}

/**
 * The sky under the hand. While something is dragged or scrubbed the change is a draft of this part alone,
 * so that nothing but the sky has to follow in every frame; letting go makes it one step of the job.
 */
class LiveSky {
  #draft = $state.raw<Edit | null>(null);
  /** Arrays of pictures that are no longer shown, to be filled again. */
  readonly #spares: SkyPicture["stars"][] = [];
  /** The newest sky on the drawing; another one in every frame while something moves. */
  picture = $state.raw<SkyPicture | null>(null);
  #toldLast = $state.raw<Told | null>(null);
  hours = $state.raw<NightHours | null>(null);
  /** Why there is no sky; "" when there is one. */
  fault = $state("");
  figures = $state(true);
  milkyWay = $state(true);

  readonly job = $derived<Job>(this.#draft?.job ?? studio.job);
  /** The chosen night as it shows now. */
  readonly night = $derived<Night>(chosenNight(this.job));
  readonly dragging = $derived(this.#draft !== null);
  /** Night and picture as the panels tell of them: a little behind while something is dragged. */
  readonly told = $derived<Told>(
    (this.dragging ? this.#toldLast : null) ?? { night: this.night, picture: this.picture },
  );

  /** Shows an edit of the settled job, without recording it. */
  preview(make: (job: Job) => Edit): void {
    const edit = studio.attempt(make, studio.settledJob);
    if (!edit) return;
    if (this.#draft === null) this.#toldLast = { night: this.night, picture: this.picture };
    studio.hold(true);
    this.#draft = edit;
    this.#tell();
  }

  /** Makes what is shown a step of the job's history. */
  commit(): void {
    const edit = this.#draft;
    if (edit === null) return;
    studio.seal();
    studio.run(() => edit);
    studio.seal();
    this.cancel();
  }

  cancel(): void {
    this.#draft = null;
    studio.hold(false);
  }

  /** Follows the job as long as the part is open. Called once. */
  follow(): void {
    $effect.root(() => {
      $effect(() => {
        const request = this.#request();
        if (request) this.#draw(request);
      });
      // The hours of the night are asked for when something is let go, never while it moves.
      const settled = $derived(studio.ready ? chosenNight(studio.job) : null);
      const place = $derived(settled?.place);
      const moment = $derived(settled?.moment);
      $effect(() => {
        if (desk.part !== "night" || !place || !moment) return;
        this.#ask({ ...untrack(() => chosenNight(studio.job)), place, moment });
      });
    });
  }

  #request(): Omit<SkyRequest, "spare"> | null {
    const ceiling = studio.ceiling;
    if (desk.part !== "night" || !studio.ready || !ceiling) return null;
    return {
      night: this.night,
      bearingDeg: this.job.ceiling.bearingDeg,
      room: ceiling.box,
      box: grown(ceiling.box),
      figures: this.figures,
      milkyWay: this.milkyWay,
      moving: this.dragging,
    };
  }

  readonly #draw = pipelined(
    UNDER_WAY,
    (request: Omit<SkyRequest, "spare">) => {
      const spare = this.#spares.pop() ?? null;
      const asked = { ...request, spare };
      return liveCore().sky(spare ? transfer(asked, [spare.buffer]) : asked);
    },
    (answer) => {
      if (answer.ok) {
        this.#show(answer.value);
        this.fault = "";
      } else this.fault = words(answer);
    },
    (error) => {
      console.error(error);
      say("night", "The sky could not be drawn. Load the page again.");
    },
  );

  readonly #show = paced<SkyPicture>(
    (show) => requestAnimationFrame(show),
    (picture) => {
      if (this.picture) this.#keep(this.picture.stars);
      this.picture = picture;
      if (this.dragging) this.#tell();
    },
    (picture) => this.#keep(picture.stars),
  );

  readonly #tell = seldom(WORDS_MS, () => {
    this.#toldLast = { night: this.night, picture: this.picture };
  });

  #keep(stars: SkyPicture["stars"]): void {
    if (this.#spares.length < SPARES) this.#spares.push(stars);
  }

  readonly #ask = latest(
    (night: Night) => sceneCore().hours(night),
    (answer) => (this.hours = answer.ok ? answer.value : null),
    (error) => console.error(error),
  );
}

/** What an unwelcome answer says, in one text. */
export function words(answer: { faults: Fault[] } | { cannot: { message: string; next: string } }): string {
  if ("cannot" in answer) return `${answer.cannot.message} ${answer.cannot.next}`;
  const fault = answer.faults[0];
  return fault ? `Expected ${fault.expected}, found ${fault.got}. ${fault.next}` : "";
}

function grown({ minX, minY, maxX, maxY }: BoxUm): BoxUm {
  const by = Math.round(Math.max(maxX - minX, maxY - minY) * ROUND_SHARE);
  return { minX: minX - by, minY: minY - by, maxX: maxX + by, maxY: maxY + by };
}

export const live = new LiveSky();
live.follow();
