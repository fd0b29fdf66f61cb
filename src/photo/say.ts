import type { Placing } from "./locate.ts";
import type { Sighting } from "./spots.ts";

/** Spots longer than broad by this, in the middle, come from a phone that moved. */
const MOVED = 1.8;
/** A sharp spot on a picture of a whole ceiling is smaller than this part of the picture's width. */
const SOFT_SHARE = 0.0014;
const BRIGHT = 0.25;
const BLACK = 0.002;
const LEAST_SPOTS = 8;

/** For people who want to know how sure it is. */
const oddsWords = (log10Chance: number): string =>
  `By chance that happens in 1 of 10^${Math.floor(-log10Chance)} pictures.`;

export function sayFound({ matches, expected, sigmaMm, log10Chance }: Placing): string {
  return (
    `The plan was found: ${matches.length} of ${expected} planned places in the picture have their light, ` +
    `${sigmaMm.toFixed(1)} mm off each way in the usual case. ${oddsWords(log10Chance)}`
  );
}

const isSoft = ({ sigmaPx, light }: Sighting): boolean =>
  sigmaPx > SOFT_SHARE * Math.max(light.widthPx, light.heightPx);

/** Lights this much wider still have run together over the whole of a ceiling: looking for the plan is a waste of seconds. */
const HOPELESS = 3;
export const isHopeless = ({ sigmaPx, light }: Sighting): boolean =>
  sigmaPx > HOPELESS * SOFT_SHARE * Math.max(light.widthPx, light.heightPx);

/** Fewer of the places than this part with a light of their own, and a soft picture can't tell a dead strand from two that run together. */
const TELLING_SHARE = 0.5;

/** A picture too blurred to judge strands by, though the plan was found in it. */
export const tellsNothing = (sighting: Sighting, { matches, expected }: Placing): boolean =>
  isSoft(sighting) && matches.length < TELLING_SHARE * expected;

const elongationOf = ({ spots }: Sighting): number =>
  spots.map((s) => s.elongation).sort((a, b) => a - b)[spots.length >> 1] ?? 1;

/** More of the lights off their places than this, and it is the plan that differs. */
const OTHER_PLAN = 0.1;

/** What to think of where the plan was found, but something is not as usual; `off` is the share of lights off their place. */
export function sayBetter(sighting: Sighting, off: number): string {
  if (off > OTHER_PLAN)
    return "Many lights lie off their places: was this ceiling punched from another revision of the job?";
  if (elongationOf(sighting) > MOVED)
    return "The phone moved a little: lean it on something, and verdicts are surer.";
  if (isSoft(sighting))
    return "The picture is a little blurred, so strands beside each other run together: let the phone focus with the room lit, then switch off.";
  return "";
}

/** Why the plan was not found in a picture, as far as the picture tells, and what to do. */
export function sayNotFound(
  sighting: Sighting,
  by: { corners: boolean; bench: boolean },
  isMirrored: () => boolean,
): { words: string; next: string } {
  const { spots, background } = sighting;
  const level = background.level.reduce((sum, v) => sum + v, 0) / background.level.length;
  // a tile is dark before its window, however bright that is
  if (level > BRIGHT && !(by.bench && spots.length >= LEAST_SPOTS))
    return {
      words: "The picture is too bright to show strands.",
      next: "Switch the room's lights off, draw the curtains, and take it again; against a window, let the tile fill the picture.",
    };
  if (spots.length < LEAST_SPOTS)
    return {
      words:
        level < BLACK ? "The picture is black." : `Only ${spots.length} small lights are in the picture.`,
      next: "Switch the engines on and the room off, hold the phone still for a longer exposure, and take it again.",
    };
  if (elongationOf(sighting) > MOVED)
    return {
      words: "The phone moved: lights are streaks, not points.",
      next: "Lean the phone on something, or use its timer, and take it again.",
    };
  if (isSoft(sighting))
    return {
      words: "The picture is blurred: lights run into each other.",
      next: "Let the phone focus on the ceiling with the room lit, then switch off, hold still, and take it again.",
    };
  if (isMirrored())
    return {
      words: "The picture is a mirror image of the plan.",
      next:
        "If the phone's front camera took it, take it with the back one. A tile on the bench: say from which side it was " +
        "taken. Otherwise the holes were punched from the wrong side: compare with the letter R on a sheet.",
    };
  if (by.corners)
    return {
      words: "With these corners too few lights lie where the plan has them.",
      next: "Check which corner is which: looking up, left and right of the plan are exchanged.",
    };
  if (by.bench)
    return {
      words: `The holes of this tile were not found among the ${spots.length} lights of the picture. Is it this tile?`,
      next: "Let the tile fill the picture, dark round it, and check its name and which side it shows. Fewer than eight holes are too few to find.",
    };
  return {
    words: `The plan was not found among the ${spots.length} lights of this picture. Is it this ceiling, and this revision?`,
    next: `Step back so that some hundred strands are in the picture, dim engines whose strands run together, and keep other lights out. Or name the four corners of the ceiling.`,
  };
}
