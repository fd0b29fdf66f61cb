import { ceilingHeightMm } from "../job/assumed.ts";
import type { Ceiling } from "../ceiling/types.ts";
import { CannotDo, JobFaults } from "../job/faults.ts";
import type { Job } from "../job/schema.ts";
import { inBothUnits } from "../job/units.ts";
import { holeMm } from "../pattern/packing.ts";
import type { Planned } from "../plan.ts";
import { makeCamera, type Camera, type Seat } from "./camera.ts";
import { DAY, NIGHT, type Finish } from "./finish.ts";
import { makeWheel, strandLights } from "./lights.ts";
import { WHITE } from "./colour.ts";
import { areaLight, END_CUTS } from "./photometry.ts";
import { restlessPixels } from "./render.ts";
import { isHidden, isInside, makeRoom, paintRoom, type SceneRoom } from "./room.ts";
import { EXPOSED_AT, makeSpots, seenLights, whiteOf, type SeenLight } from "./spots.ts";
import type { Light, Scene } from "./types.ts";

/** The parts of a plan that a picture needs. */
export type SceneSource = Pick<Planned, "job" | "ceiling" | "pattern">;

export interface SceneSize {
  widthPx: number;
  heightPx: number;
  /** Rays a pixel and side for the room behind the strands. Default: 1 in the dark, where no edge shows; 3 by day. */
  samples?: number;
  /** The light that peaks at white, where several pictures share one exposure; else the picture's own. */
  whiteLight?: number;
  /** The room as another scene of this ceiling, seat and size has painted it. */
  room?: Float32Array;
  /** Size of the smallest spots over that of a picture filling a screen: more for small pictures on a page. */
  spotScale?: number;
}

/** Largest picture, in pixels. */
const MAX_PIXELS = 40_000_000;

export interface SceneOptions extends SceneSize {
  seat: Seat;
  /** Strand lengths by hole id, in metres, where bundles tell them. */
  lengthsM?: ReadonlyMap<number, number>;
}

function checkView(job: Pick<Job, "ceiling">, options: SceneOptions): void {
  const { seat, widthPx, heightPx } = options;
  if (!(widthPx >= 16 && heightPx >= 16 && widthPx * heightPx <= MAX_PIXELS))
    throw new CannotDo(
      `a picture of ${widthPx} × ${heightPx} pixels can't be made`,
      "Ask for 16 × 16 up to 40 million pixels.",
    );
  if (!(seat.eyeMm < ceilingHeightMm(job.ceiling) - 50))
    throw new JobFaults([
      {
        path: "scene.seats.eyeMm",
        expected: `an eye at least ${inBothUnits(50)} below the ceiling, which is at ${inBothUnits(ceilingHeightMm(job.ceiling))}`,
        got: inBothUnits(seat.eyeMm),
        next: "Lower the eye, or correct ceiling.heightMm.",
      },
    ]);
}

/** What sets one kind of picture apart from another. */
interface Look {
  finish: Finish;
  samples: number;
  /** Whether the lights follow the dimmer. */
  dims: boolean;
}
const DARK: Look = { finish: NIGHT, samples: 1, dims: true };

/** Works out a scene from lights of any kind: strands by night, or stars of the real sky. */
export function sceneOfLights(
  job: Pick<Job, "ceiling" | "strands" | "scene" | "pattern">,
  ceiling: Ceiling,
  lights: Light[],
  options: SceneOptions,
  look = DARK,
): Scene {
  checkView(job, options);
  const { seat, widthPx, heightPx, spotScale } = options;
  const room = makeRoom(ceiling, ceilingHeightMm(job.ceiling));
  if (!isInside(room, seat.atMm[0], seat.atMm[1]))
    throw new JobFaults([
      {
        path: "scene.seats.atMm",
        expected: "a place inside the room's outline",
        got: `[${seat.atMm.join(", ")}]`,
        next: "Move the seat into the room.",
      },
    ]);
  const camera = makeCamera(seat, ceilingHeightMm(job.ceiling), widthPx, heightPx);
  const seen = seenFrom(room, camera, lights, job);
  const whiteLight = options.whiteLight ?? whiteOf(seen);
  const spots = makeSpots(seen, camera, whiteLight, look.dims ? EXPOSED_AT : 1, spotScale);
  return {
    camera,
    widthPx,
    heightPx,
    room: options.room ?? paintRoom(room, camera, look.finish, options.samples ?? look.samples),
    lights,
    spots,
    whiteLight,
    dims: look.dims,
    wheel: makeWheel(job),
    restless: restlessPixels(spots, widthPx, heightPx),
  };
}

/** The light that peaks at white in this ceiling's own picture: to give several pictures one exposure. */
export function whiteLightOf({ job, ceiling, pattern }: SceneSource, options: SceneOptions): number {
  return whiteLightOfLights(job, ceiling, strandLights(job, pattern.holes, options.lengthsM), options);
}

/** The same of lights of any kind. */
export function whiteLightOfLights(
  job: Pick<Job, "ceiling" | "strands" | "scene">,
  ceiling: Ceiling,
  lights: readonly Light[],
  options: SceneOptions,
): number {
  const camera = makeCamera(options.seat, ceilingHeightMm(job.ceiling), options.widthPx, options.heightPx);
  const room = makeRoom(ceiling, ceilingHeightMm(job.ceiling));
  return whiteOf(seenFrom(room, camera, lights, job));
}

function seenFrom(
  room: SceneRoom,
  camera: Camera,
  lights: readonly Light[],
  { strands, scene }: Pick<Job, "strands" | "scene">,
): SeenLight[] {
  return seenLights(lights, camera, strands.numericalAperture, END_CUTS[scene.ends], (light) =>
    isHidden(room, camera, light.xMm, light.yMm),
  );
}

/** THIS ceiling in the dark, from its holes, as seen from a seat. Draw frames of it with `renderScene`. */
export function prepareScene(plan: SceneSource, options: SceneOptions): Scene {
  const lights = strandLights(plan.job, plan.pattern.holes, options.lengthsM);
  return sceneOfLights(plan.job, plan.ceiling, lights, options);
}

/** Light of a 0.75 mm strand end by day over the white of the picture (a look). */
const SPECK = 0.03;

/** How the ceiling looks by day: strand ends are fine grey specks, engines off. */
export function prepareLightsOn(plan: SceneSource, options: SceneOptions): Scene {
  const lights = plan.pattern.holes.map((hole): Light => {
    const power = SPECK * areaLight(hole.diameterMm, hole.strands);
    return {
      xMm: hole.xMm,
      yMm: hole.yMm,
      radiusMm: holeMm(hole) / 2,
      power,
      tint: WHITE,
      channel: -1,
      axis: null,
    };
  });
  return sceneOfLights(
    plan.job,
    plan.ceiling,
    lights,
    { ...options, whiteLight: 1 },
    { finish: DAY, samples: 3, dims: false },
  );
}
