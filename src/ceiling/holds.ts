import { dateWords } from "../job/writtenTime.ts";
import { NO_GO } from "../job/noGoKinds.ts";
import { boxesTouch, boxOf, intersect } from "../geometry/area.ts";
import type { NoGo } from "../job/sections/ceiling.ts";
import type { Ceiling } from "./types.ts";
import { zoneName } from "./zones.ts";

/** Tiles that wait for somebody's answer: nothing is punched on them before. */
export interface Hold {
  /** Of the thing in `ceiling.noGo`; null where an issued tile fits the survey no more. */
  index: number | null;
  state: "open" | "refused";
  /** "sprinkler 'head 1'" */
  name: string;
  /** Tiles for stars that the thing itself stands on. */
  tiles: string[];
  /** "alarm contractor has not answered", "refused by ... on ...: ..." */
  why: string;
}

/** Agreed is only what has a name, a day and words; everything else is open, or refused. */
export function stateOf({ agreement }: NoGo): "open" | "agreed" | "refused" {
  const { answer, who, on, words } = agreement;
  if (answer !== "agreed") return answer;
  return who !== "" && on !== "" && words !== "" ? "agreed" : "open";
}

/** "agreed by ... on ...: ...", with what is missing named; the day as it is written at `zone`. */
export function answerWords(thing: NoGo, zone = ""): string {
  const { answer, who, words } = thing.agreement;
  const on = thing.agreement.on && dateWords(thing.agreement.on, zone);
  const owner = thing.owner || "its owner";
  const said = words === "" ? "" : `: "${words}"`;
  if (answer === "open") return `${owner} has not answered${words === "" ? "" : ` (noted${said})`}`;
  if (answer === "refused") return `refused by ${who || owner}${on && ` on ${on}`}${said}`;
  const missing = [who === "" && "who", on === "" && "which day", words === "" && "which words"];
  const lacking = missing.filter((word) => word !== false);
  if (lacking.length > 0) return `marked as agreed, without saying ${lacking.join(", ")}`;
  return `agreed by ${who} on ${on}${said}`;
}

/**
 * Every thing that holds up tiles: heads and detectors, what has an owner, whatever was refused; and what was issued
 * and no longer fits the survey.
 */
export function holdsOf(ceiling: Ceiling): Hold[] {
  const misfits = new Map<string, string[]>();
  for (const { tile, why } of ceiling.misfits ?? []) misfits.set(why, [...(misfits.get(why) ?? []), tile]);
  return [
    ...[...misfits].map(([why, tiles]): Hold => ({ index: null, state: "open", name: MISFIT, tiles, why })),
    ...thingsThatHold(ceiling),
  ];
}
const MISFIT = "issued, and the survey differs";

function thingsThatHold(ceiling: Ceiling): Hold[] {
  return ceiling.noGo.flatMap(({ source, index, shape }): Hold[] => {
    const state = stateOf(source);
    const asked = NO_GO[source.kind].asked || source.owner !== "" || source.agreement.answer !== "open";
    if (state === "agreed" || !asked) return [];
    const shapeBox = boxOf(shape);
    const tiles = ceiling.tiles
      .filter((t) => t.use === "stars" && boxesTouch(t.box, shapeBox) && intersect(t.outline, shape).length)
      .map((t) => t.name);
    if (tiles.length === 0) return [];
    return [{ index, state, name: zoneName(source, index), tiles, why: answerWords(source) }];
  });
}

/** The holds of each tile that has any. */
export function holdsByTile(ceiling: Ceiling): ReadonlyMap<string, Hold[]> {
  const byTile = new Map<string, Hold[]>();
  for (const hold of holdsOf(ceiling))
    for (const tile of hold.tiles) byTile.set(tile, [...(byTile.get(tile) ?? []), hold]);
  return byTile;
}
