import { expose, transfer } from "comlink";
import { searchNights } from "../../../../choose/search.ts";
import type { Catalog } from "../../../../sky/types.ts";
import { answer, answerNow } from "../../../worker/answer.ts";
import { planJob } from "../../../../work/planJob.ts";
import { catalogFor, choose } from "../../../../work/stage.ts";
import { compactCatalog } from "../../../worker/catalogFetch.ts";
import type { NightApi, SkyRequest } from "./api.ts";
import { boardOf, skySheetOf } from "./files.ts";
import { nightHours } from "./hours.ts";
import { findPlaces, placeNearest } from "./places.ts";
import { dropScene, readyScene, sceneFrame } from "./scenes.ts";
import { skyPicture } from "./sky.ts";
import { work } from "../../../worker/drawing.ts";
import { BROWSER, meet } from "../../../worker/way.ts";

/** Lets the messages in, so that a search can be told to stop. */
const breathe = (): Promise<void> => new Promise((done) => setTimeout(done));

/** Skies after which the engine has compiled what makes them; before that one takes more than a frame. */
const SKIES_TO_WARM = 24;
let warm = false;

/** Works a sky out over and over for nobody, between messages, so that the first drag does not stutter. */
async function warmUp(catalog: Catalog, request: SkyRequest): Promise<void> {
  for (let i = 0; i < SKIES_TO_WARM; i++) {
    await breathe();
    skyPicture(catalog, { ...request, moving: i % 2 === 0, spare: null });
  }
}

const api: NightApi = {
  meet,
  sky: async (request) => {
    const catalog = await compactCatalog();
    const made = answerNow(() => skyPicture(catalog, request));
    if (!made.ok) return made;
    if (!warm) {
      warm = true;
      void warmUp(catalog, request);
    }
    const { stars, lines, ends, glow } = made.value;
    return transfer(made, [stars.buffer, lines.buffer, ends.buffer, glow.level.buffer]);
  },
  hours: (night) => answerNow(() => nightHours(night)),
  searchPlaces: findPlaces,
  nearestPlace: placeNearest,
  figureNames: async () =>
    (await compactCatalog()).figures
      .map(({ abbreviation, name }) => ({ abbreviation, name }))
      .sort((a, b) => a.name.localeCompare(b.name, "en")),
  facts: (job, nightId) => answer(() => work.print(choose(job, nightId), "facts", undefined)),
  prepareScene: (key, request) => answer(() => readyScene(key, request)),
  dropScene,
  frame: (key, timeS, dimmer, spare) => {
    const pixels = sceneFrame(key, timeS, dimmer, spare);
    return pixels && transfer(pixels, [pixels.buffer]);
  },
  search: (job, wish, onProgress) =>
    answer(async () =>
      searchNights(job, await catalogFor(BROWSER, choose(job)), wish, planJob, {
        onProgress,
        breathe,
        pictures: true,
      }),
    ),
  board: (job, nightIds, seat, format) => answer(() => boardOf(job, nightIds, seat, format)),
  skySheet: (job, nightId) => answer(() => skySheetOf(job, nightId)),
};

expose(api);
