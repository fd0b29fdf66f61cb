import { hasEngines, type LitPlan } from "../../../../bundles/litPlan.ts";
import { toScreen } from "../../../../scene/camera.ts";
import { makeOverlay, overlaySvg } from "../../../../scene/overlay.ts";
import { prepareRealSky, skyWhiteLightOf } from "../../../../scene/realSky.ts";
import { renderScene } from "../../../../scene/render.ts";
import { prepareLightsOn, prepareScene, whiteLightOf } from "../../../../scene/scene.ts";
import type { Scene } from "../../../../scene/types.ts";
import type { Planned } from "../../../../plan.ts";
import type { Catalog } from "../../../../sky/types.ts";
import { catalogFor, choose, planned } from "../../../../work/stage.ts";
import { work } from "../../../worker/drawing.ts";
import { BROWSER } from "../../../worker/way.ts";
import type { SceneReady, SceneRequest } from "./api.ts";

/** So many of the brightest strands are told with their places on the picture. */
const BRIGHTEST = 12;
const scenes = new Map<string, Scene>();
/** A scene asked for later under the same name is the one that counts. */
const asked = new Map<string, SceneRequest>();

/** A scene with its strands' lengths if they are known, else with the job's usual one. */
export async function readyScene(key: string, request: SceneRequest): Promise<SceneReady> {
  asked.set(key, request);
  const chosen = choose(request.job, request.nightId);
  const catalog = await catalogFor(BROWSER, chosen);
  // By day a strand is a speck, however long it is.
  const shines = request.mode !== "lights-on" && hasEngines(request.job);
  const known = !shines || request.shared;
  const lit: LitPlan =
    shines && known
      ? await work.print(chosen, "lit", undefined)
      : { plan: planned(await work.upTo(chosen, "holes")) };
  const { plan, lengthsM } = lit;
  const whiteLight = await exposureFor(request);
  const scene = sceneOf(lit, catalog, request, whiteLight);
  if (asked.get(key) === request) scenes.set(key, scene);
  return {
    widthPx: scene.widthPx,
    heightPx: scene.heightPx,
    holes: plan.pattern.holes.length,
    twinkles: scene.restless.length > 0,
    lengths: !known ? "awaited" : lengthsM ? "bundled" : "usual",
    usualLengths: plan.pattern.holes.length - (lengthsM?.size ?? 0),
    brightest: brightestOf(plan, scene),
    overlaySvg: request.names
      ? overlaySvg(makeOverlay(plan.pattern.holes, catalog), plan, scene.camera)
      : null,
  };
}

export function dropScene(key: string): void {
  scenes.delete(key);
  asked.delete(key);
}

/** One frame into the buffer handed back, if it has the right size. */
export function sceneFrame(
  key: string,
  timeS: number,
  dimmer: number,
  spare: ArrayBuffer | null,
): Uint8ClampedArray | null {
  const scene = scenes.get(key);
  if (!scene) return null;
  const bytes = scene.widthPx * scene.heightPx * 4;
  const out = spare?.byteLength === bytes ? new Uint8ClampedArray(spare) : new Uint8ClampedArray(bytes);
  return renderScene(scene, { timeS, dimmer }, out);
}

/** The light that peaks at white where several nights are compared; undefined: the picture's own. */
async function exposureFor(request: SceneRequest): Promise<number | undefined> {
  const { job, beside, seat, widthPx, heightPx, mode } = request;
  if (beside.length < 2 || mode === "lights-on") return undefined;
  const catalog = await catalogFor(BROWSER, ...beside.map((id) => choose(job, id)));
  const view = { seat, widthPx, heightPx };
  let white = 0;
  for (const id of beside) {
    const plan = planned(await work.upTo(choose(job, id), "holes"));
    white = Math.max(white, mode === "sky" ? skyWhiteLightOf(plan, catalog, view) : whiteLightOf(plan, view));
  }
  return white;
}

function sceneOf(
  { plan, lengthsM }: LitPlan,
  catalog: Catalog,
  request: SceneRequest,
  whiteLight: number | undefined,
): Scene {
  const { seat, widthPx, heightPx, samples } = request;
  const exposed = whiteLight === undefined ? {} : { whiteLight };
  const options = { seat, widthPx, heightPx, samples, ...exposed, ...(lengthsM && { lengthsM }) };
  if (request.mode === "sky") return prepareRealSky(plan, catalog, options);
  return request.mode === "lights-on" ? prepareLightsOn(plan, options) : prepareScene(plan, options);
}

function brightestOf(plan: Planned, scene: Scene): SceneReady["brightest"] {
  return plan.pattern.holes
    .filter((hole) => hole.magnitude !== null)
    .sort((a, b) => (a.magnitude ?? 0) - (b.magnitude ?? 0))
    .flatMap((hole) => {
      const at = toScreen(scene.camera, hole.xMm, hole.yMm, scene.camera.ceilingMm);
      const seen = at !== null && at[0] >= 0 && at[1] >= 0 && at[0] < scene.widthPx && at[1] < scene.heightPx;
      return seen ? [{ name: hole.name, xPx: at[0], yPx: at[1] }] : [];
    })
    .slice(0, BRIGHTEST);
}
