import type { Planned } from "../plan.ts";
import type { NightFacts } from "./facts.ts";
import { betweenLinesDeg } from "./score.ts";
import type { Candidate, Search } from "./weigh.ts";
import { altitudeOf, missingOf, wishName } from "./wished.ts";
import { compassPoint, listed, lostWords, percent, viewWords } from "./words.ts";

/** Bodies named from this brightness, as seen by the naked eye in a town. */
const NAMED_BODY = 2;
/** Less of the ceiling than this below the horizon is not worth a word. */
const HORIZON_NOTED = 0.03;

/** Why a sky is proposed, and what it costs, in sentences. */
export function reasonsFor(search: Search, plan: Planned, candidate: Candidate, facts: NightFacts): string[] {
  const { catalog, cast, alongDeg } = search;
  const { frame } = plan;
  const reasons: string[] = [];
  for (const one of cast.wished) {
    const altitude = altitudeOf(one, frame, catalog);
    if (missingOf(one, plan, catalog) > 0) continue;
    const body = frame.bodies.find((b) => b.name === one.name);
    reasons.push(
      body
        ? `${capital(wishName(one))} stands in the ${compassPoint(body.azimuthDeg)} at ${Math.round(altitude)}°, magnitude ${body.magnitude.toFixed(1)}, and has its hole.`
        : `${one.name} is whole on the ceiling: all ${one.stars} stars of it have a hole.`,
    );
  }
  if (search.wish.milkyWay && alongDeg === null)
    reasons.push(`The Milky Way crosses ${percent(facts.milkyWayShare)} of the ceiling.`);
  if (candidate.band !== null && alongDeg !== null && candidate.band.share > 0) {
    const off = Math.round(betweenLinesDeg(candidate.band.axisDeg, alongDeg));
    const wall = search.ceiling.walls[search.wish.milkyWayAlongWall ?? 0]?.name ?? "the wall";
    reasons.push(
      `The Milky Way runs ${off <= 3 ? "along" : `${off}° off`} ${wall} and crosses ${percent(facts.milkyWayShare)} of the ceiling.`,
    );
  }
  const { turnDeg } = plan.night.view;
  reasons.push(
    `The view is to ${viewWords(plan.night.view)}, the picture ${turnDeg === 0 ? "not turned" : `turned ${turnDeg}°`}.`,
  );
  if (facts.standing.length > 0) reasons.push(`On the ceiling: ${facts.standing.join("; ")}.`);
  reasons.push(
    `${percent(facts.lightKept)} of this sky's light finds a place; ${facts.figuresWhole} of ${facts.figuresOnCeiling} constellations that fall wholly on the ceiling keep every star.`,
  );
  reasons.push(`Bright stars left out beside no-go zones or tees: ${lostWords(facts)}.`);
  const others = facts.bodies.filter(
    (b) => b.magnitude < NAMED_BODY && !cast.wished.some((one) => one.name === b.name),
  );
  if (others.length > 0)
    reasons.push(
      `Also up: ${listed(
        others.map((b) => {
          const name = wishName({ name: b.name, kind: "body" });
          const lit = b.name === "moon" ? `, ${percent(b.lit)} lit` : "";
          return `${name}${lit}${b.onCeiling ? " (on the ceiling)" : ""}`;
        }),
      )}.`,
    );
  reasons.push(
    `The Sun is at ${facts.sunAltitudeDeg.toFixed(0)}°${facts.sunAltitudeDeg < -18 ? ": full darkness" : ""}.`,
  );
  if (candidate.filled < 1 - HORIZON_NOTED)
    reasons.push(
      `${percent(1 - candidate.filled)} of the ceiling lies below the horizon and takes filler only.`,
    );
  return reasons;
}

const capital = (words: string): string => words[0]!.toUpperCase() + words.slice(1);
