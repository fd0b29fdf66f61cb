import { wordedIn } from "../../../job/faults.ts";
import { moveWords, type LengthUnits } from "../../../job/units.ts";
import type { Hole, LostStar, Pattern } from "../../../pattern/types.ts";
import { keyOfHole, keyOfLost, starName, type SubjectKey } from "./subject.ts";

export type FateKind = "moved" | "lost" | "merged";

/** One line of the list of what the ceiling did to the sky. */
export interface FateRow {
  key: SubjectKey;
  kind: FateKind;
  name: string;
  magnitude: number;
  inFigure: boolean;
  tile: string;
  movedMm: number;
  why: string;
}

/** Every star that is not where the sky puts it, brightest first. */
export function fateRows({ holes, lost }: Pattern, units: LengthUnits): FateRow[] {
  return [
    ...holes.filter((h) => h.movedMm > 0 && h.kind !== "filler").map((hole) => movedRow(hole, units)),
    ...wordedIn(units, lost).map(lostRow),
  ].sort((a, b) => a.magnitude - b.magnitude);
}

function movedRow(hole: Hole, units: LengthUnits): FateRow {
  const far = moveWords(hole.movedMm, units);
  return {
    key: keyOfHole(hole),
    kind: "moved",
    name: hole.name || starName(hole.star ?? 0),
    magnitude: hole.magnitude ?? 0,
    inFigure: hole.inFigure,
    tile: hole.tile,
    movedMm: hole.movedMm,
    why: hole.byHand ? `${far}, pinned by hand` : `${far}, clear of what is in its way`,
  };
}

const REASON_WORDS: Record<LostStar["reason"], string> = {
  "no free spot within reach": "no free spot within reach",
  "left out by hand": "left out by hand",
  merged: "its light is added to",
  "no strand left": "no strand left",
  "tile has its share": "its tile has its share",
  "gives air to a constellation": "gives air to a constellation that matters",
  "its tile is issued": "its tile is issued",
};

function lostRow(lost: LostStar): FateRow {
  const reason = REASON_WORDS[lost.reason];
  const merged = lost.reason === "merged";
  return {
    key: keyOfLost(lost),
    kind: merged ? "merged" : "lost",
    name: lost.name || starName(lost.star ?? 0),
    magnitude: lost.magnitude,
    inFigure: lost.inFigure,
    tile: "",
    movedMm: 0,
    why: merged ? `${reason} ${lost.detail}` : lost.detail ? `${reason}: ${lost.detail}` : reason,
  };
}
