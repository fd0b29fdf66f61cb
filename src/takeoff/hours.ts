import type { Ceiling } from "../ceiling/types.ts";
import type { TakeoffSection } from "../job/sections/takeoff.ts";
import { coveredTiles } from "./blanks.ts";
import type { Hours, StrandFacts, Task } from "./types.ts";

/** Work on the strands alone, from punching to the dark test. */
const STRAND_WORK = new Set([
  "punch",
  "thread and seat",
  "glue",
  "label and tie tails",
  "common ends",
  "snip and look up",
  "dark test",
  "go back to strands after the test",
]);

/** A tile of 24 x 24 in: what wrapping rates count. */
const RATE_TILE_M2 = 0.6096 * 0.6096;
const TILES_PER_SURVEY = 60;

/** Person-hours by task from the job's rates; a task whose rate is 0 has none and is told of. */
export function hoursFor(ceiling: Ceiling, { rates, people }: TakeoffSection, facts: StrandFacts): Hours {
  const covered = coveredTiles(ceiling);
  const tiles = covered.length;
  const withHoles = new Set(facts.strands.map(({ tile }) => tile)).size;
  const strands = facts.strands.length;
  const wrapTiles = covered.reduce((sum, { box }) => {
    const m2 = ((box.maxX - box.minX) / 1e6) * ((box.maxY - box.minY) / 1e6);
    return sum + m2 / RATE_TILE_M2;
  }, 0);
  const tasks: Task[] = [];
  /** `hands`: people that the rate is for. */
  const perHour = (name: string, quantity: number, unit: string, rate: number, hands = 1) =>
    tasks.push({
      name,
      quantity: rounded(quantity, 1),
      unit,
      rate: `${rate} ${unit} an hour${hands > 1 ? ", two people" : ""}`,
      personH: rate > 0 ? rounded((quantity / rate) * hands, 2) : quantity > 0 ? null : 0,
    });
  const perPiece = (name: string, quantity: number, unit: string, hours: number, words: string) =>
    tasks.push({
      name,
      quantity,
      unit,
      rate: words,
      personH: hours > 0 || quantity === 0 ? rounded(quantity * hours, 2) : null,
    });
  const surveys = rounded(Math.max(1, ceiling.tiles.length / TILES_PER_SURVEY), 2);
  perPiece(
    "survey and map",
    ceiling.tiles.length,
    "tiles",
    (rates.surveyH * surveys) / ceiling.tiles.length,
    `${rates.surveyH} h for each 60 tiles, at least once`,
  );
  perHour("take down, number, stack", tiles, "tiles", rates.takeDownTilesPerH, 2);
  perHour("strip and clean", tiles, "tiles", rates.cleanTilesPerH);
  if (people === 2) perHour("spray and wrap", wrapTiles, "tiles of 24 in", rates.wrapTilesPerHTwo, 2);
  else perHour("spray and wrap", wrapTiles, "tiles of 24 in", rates.wrapTilesPerH);
  perPiece(
    "tape template, check square",
    withHoles,
    "tiles",
    rates.templateMinPerTile / 60,
    `${rates.templateMinPerTile} min a tile`,
  );
  perPiece(
    "place the sheets of the templates",
    facts.paper.placed,
    "sheets",
    rates.templateMinPerSheet / 60,
    `${rates.templateMinPerSheet} min a sheet`,
  );
  perPiece(
    "measure holes from the list",
    facts.paper.listedHoles,
    "holes",
    rates.listedMinPerHole / 60,
    `${rates.listedMinPerHole} min a hole`,
  );
  perHour("punch", facts.holes, "holes", rates.pokeHolesPerH);
  perHour("thread and seat", strands, "strands", rates.threadStrandsPerH);
  perHour("glue", strands, "strands", rates.glueDotsPerH);
  perPiece(
    "label and tie tails",
    facts.tails,
    "tails",
    rates.labelMinPerTile / 60,
    `${rates.labelMinPerTile} min a tail`,
  );
  const portH = facts.engines > 0 ? rates.portH + (strands * rates.portSPerStrand) / 3600 / facts.engines : 0;
  perPiece(
    "common ends",
    facts.engines,
    facts.engines === 1 ? "port" : "ports",
    portH,
    `${rates.portH} h a port and ${rates.portSPerStrand} s a strand`,
  );
  perHour("re-hang and route", tiles, "tiles", rates.rehangTilesPerH, 2);
  perHour("snip and look up", strands, "ends", rates.snipEndsPerH);
  perPiece("dark test", 1, "test", rates.darkTestH, `${rates.darkTestH} h`);
  perHour("go back to strands after the test", strands * rates.revisited, "strands", rates.threadStrandsPerH);
  const sum = (some: readonly Task[]) => some.reduce((total, task) => total + (task.personH ?? 0), 0);
  const personH = rounded(sum(tasks), 1);
  const strandH = sum(tasks.filter(({ name }) => STRAND_WORK.has(name)));
  return {
    tasks,
    personH,
    clockH: rounded(personH / people, 1),
    allInStrandsPerPersonH: personH > 0 ? rounded(strands / personH, 1) : 0,
    strandsPerPersonH: strandH > 0 ? rounded(strands / strandH, 1) : 0,
  };
}

const rounded = (value: number, digits: number): number => Number(value.toFixed(digits));
