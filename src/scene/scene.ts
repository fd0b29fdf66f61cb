import type { Ceiling } from "../ceiling/types.ts";
import { CannotDo, JobFaults } from "../job/faults.ts";
import type { Job } from "../job/schema.ts";
import type { Plan } from "../plan.ts";
import { makeCamera, type Seat } from "./camera.ts";
import { DAY, NIGHT } from "./finish.ts";
import { makeWheel, strandLights } from "./lights.ts";
import { END_CUTS } from "./photometry.ts";
import { restlessPixels } from "./render.ts";
import { isHidden, isInside, makeRoom, paintRoom } from "./room.ts";
import { makeSpots } from "./spots.ts";
import type { Light, Scene } from "./types.ts";

/** The parts of a plan that a picture needs. */
export type SceneSource = Pick<Plan, "job" | "ceiling" | "pattern">;

export interface SceneSize {
  widthPx: number;
  heightPx: number;
  /** Rays a pixel and side for the room behind the strands: 1 while moving, 2 or 3 for a still. */
  samples?: number;
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
      `a picture of ${widthPx} x ${heightPx} pixels can't be made`,
      "Ask for 16 x 16 up to 40 million pixels.",
    );
  if (!(seat.eyeMm < job.ceiling.heightMm - 50))
    throw new JobFaults([
      {
        path: "scene.seats.eyeMm",
        expected: `an eye at least 50 mm below the ceiling (${job.ceiling.heightMm} mm)`,
        got: String(seat.eyeMm),
        next: "Lower the eye, or correct ceiling.heightMm.",
      },
    ]);
}

/** Works out a scene from lights of any kind: strands by night, or stars of the real sky. */
export function sceneOfLights(
  job: Pick<Job, "ceiling" | "strands" | "scene" | "pattern">,
  ceiling: Ceiling,
  lights: Light[],
  options: SceneOptions,
  lightsOn = false,
): Scene {
  checkView(job, options);
  const { seat, widthPx, heightPx } = options;
  const room = makeRoom(ceiling, job.ceiling.heightMm);
  if (!isInside(room, seat.atMm[0], seat.atMm[1]))
    throw new JobFaults([
      {
        path: "scene.seats.atMm",
        expected: "a place inside the room's outline",
        got: `[${seat.atMm.join(", ")}]`,
        next: "Move the seat into the room.",
      },
    ]);
  const camera = makeCamera(seat, job.ceiling.heightMm, widthPx, heightPx);
  const spots = makeSpots(
    lights,
    camera,
    job.strands.numericalAperture,
    END_CUTS[job.scene.ends],
    (light) => isHidden(room, camera, light.xMm, light.yMm),
    options.spotScale,
  );
  return {
    camera,
    widthPx,
    heightPx,
    room: paintRoom(room, camera, lightsOn ? DAY : NIGHT, options.samples ?? 2),
    lights,
    spots,
    wheel: makeWheel(job),
    restless: restlessPixels(spots, widthPx, heightPx),
  };
}

/** THIS ceiling in the dark, from its holes, as seen from a seat. Draw frames of it with `renderScene`. */
export function prepareScene(plan: SceneSource, options: SceneOptions): Scene {
  const lights = strandLights(plan.job, plan.pattern.holes, options.lengthsM);
  return sceneOfLights(plan.job, plan.ceiling, lights, options);
}

/** How the ceiling looks by day: strand ends are fine grey specks, engines off. */
export function prepareLightsOn(plan: SceneSource, options: SceneOptions): Scene {
  const lights = plan.pattern.holes.map((hole): Light => {
    const d = hole.diameterMm / 0.75;
    const light = { radiusMm: hole.diameterMm / 2, power: 0.012 * d * d, tint: [1, 1, 1] as const };
    return { xMm: hole.xMm, yMm: hole.yMm, ...light, channel: -1, axis: null };
  });
  return sceneOfLights(plan.job, plan.ceiling, lights, options, true);
}
