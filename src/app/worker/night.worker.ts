import { expose, transfer } from "comlink";
import { nightFacts } from "../../choose/facts.ts";
import { searchNights } from "../../choose/search.ts";
import { answer, answerNow } from "./answer.ts";
import { catalogFor, compactCatalog } from "./catalogFetch.ts";
import type { NightApi } from "./nightApi.ts";
import { boardOf, skySheetOf } from "./nightFiles.ts";
import { nightHours } from "./nightHours.ts";
import { findPlaces, placeNearest } from "./nightPlaces.ts";
import { planOfNight } from "./nightPlans.ts";
import { dropScene, lengthsKnown, readyScene, sceneFrame } from "./nightScenes.ts";
import { skyPicture } from "./nightSky.ts";

/** Lets the messages in, so that a search can be told to stop. */
const breathe = (): Promise<void> => new Promise((done) => setTimeout(done));

const api: NightApi = {
  sky: async (request) => {
    const catalog = await compactCatalog();
    const made = answerNow(() => skyPicture(catalog, request));
    if (!made.ok) return made;
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
  facts: (job, nightId) =>
    answer(async () => {
      const plan = await planOfNight(job, nightId);
      return nightFacts(plan, await catalogFor(plan.job));
    }),
  prepareScene: (key, request) => answer(() => readyScene(key, request)),
  lengthsKnown: (key, job, nightId) => answer(() => lengthsKnown(key, job, nightId)),
  dropScene,
  frame: (key, timeS, dimmer, spare) => {
    const pixels = sceneFrame(key, timeS, dimmer, spare);
    return pixels && transfer(pixels, [pixels.buffer]);
  },
  search: (job, wish, onProgress) =>
    answer(async () => searchNights(job, await catalogFor(job), wish, { onProgress, breathe })),
  board: (job, nightIds, seat, format) => answer(() => boardOf(job, nightIds, seat, format)),
  skySheet: (job, nightId) => answer(() => skySheetOf(job, nightId)),
};

expose(api);
