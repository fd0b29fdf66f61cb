import { dateWords, clockWords, clockAndPass } from "../job/writtenTime.ts";
import { CONSTELLATIONS } from "../job/constellations.ts";
import type { Job } from "../job/schema.ts";
import type { Moment, Night } from "../job/sections/sky.ts";
import type { Planned } from "../plan.ts";
import { thumbnailOf, type Thumbnail } from "../scene/thumbnail.ts";
import { nearestDark, SUN_LEVELS_DEG, sunAltitudeDeg } from "../sky/darkness.ts";
import { instantOnClock, resolveMoment } from "../sky/time.ts";
import type { Catalog, Instant } from "../sky/types.ts";
import { nearestDate, whyNotMet } from "./diagnose.ts";
import { nightFacts, type NightFacts } from "./facts.ts";
import { reasonsFor } from "./reasons.ts";
import { betweenLinesDeg } from "./score.ts";
import { likeness } from "./likeness.ts";
import { theWall } from "./standing.ts";
import { standingOf } from "./standingScore.ts";
import { prepareSearch, weighSkies, type Candidate, type Search, type SearchOptions } from "./weigh.ts";
import { missingOf, wishName } from "./wished.ts";
import { checkWish, timesOf, type Wish } from "./wish.ts";
import { listed, percent } from "./words.ts";

/** A proposal that shows more than this part of its light where a better one shows some too is left out. */
const ALIKE = 0.5;
/** The Milky Way is on the ceiling when it crosses this part of it. */
const MILKY_WAY_THERE = 0.1;
/** The Milky Way lies along a wall when it is within this of parallel and this part of it that could be is there. */
const ALONG_DEG = 15;
const ALONG_SCORE = 0.45;
const DEFAULT_PROPOSALS = 5;
/** Share of the progress that weighing takes; settling has the rest. */
const WEIGHING = 0.7;

export interface Proposal {
  /** Ready to be put among the job's skies. */
  night: Night;
  /** 0 to 100. */
  score: number;
  met: string[];
  unmet: string[];
  /** In words, the strongest first. */
  reasons: string[];
  /** Settled for real. */
  facts: NightFacts;
  candidate: Candidate;
  /** Its ceiling in the dark, where pictures were asked for. */
  picture: Thumbnail | null;
}

export interface SearchResult {
  /** Best first; those that meet every wish before those that don't. */
  proposals: Proposal[];
  met: boolean;
  /** One sentence: can the wish be met? */
  verdict: string;
  /** What stands in the way, and what comes nearest; empty when met. */
  nearest: string[];
  examined: { times: number; dark: number; views: number; turns: number; skies: number };
}

/** Works a job out as far as its holes. */
export type Settle = (job: Job, catalog: Catalog) => Planned;

/**
 * Hours, view directions and turns for a wish, ranked, with reasons. Every time of the window, every view and
 * every turn is weighed against the real ceiling; the best few are settled for real, by `settle`, and judged by that.
 * @throws JobFaults for a wish that can't be read, CannotDo for a window that is no night.
 */
export async function searchNights(
  job: Job,
  catalog: Catalog,
  wish: Wish,
  settle: Settle,
  options: SearchOptions = {},
): Promise<SearchResult> {
  checkWish(wish, job, catalog);
  const { like, jdUt } = timesOf(wish);
  const search = prepareSearch(job, catalog, wish, like);
  const { times, darkEnough } = darkTimes(wish, like, jdUt);
  const candidates = await weighSkies(search, times, {
    ...options,
    onProgress: (share, words) => options.onProgress?.(WEIGHING * share, words),
  });
  const chosen = distinct(candidates, likeness(search, times), wish.proposals ?? DEFAULT_PROPOSALS);
  const proposals: Proposal[] = [];
  for (const [i, candidate] of chosen.entries()) {
    options.signal?.throwIfAborted();
    options.onProgress?.(WEIGHING + ((1 - WEIGHING) * i) / chosen.length, "Placing the best");
    await options.breathe?.();
    proposals.push(
      propose(
        search,
        settle,
        { candidate, instant: instantOnClock(like, times[candidate.time]!), index: i },
        options,
      ),
    );
  }
  proposals.sort((a, b) => a.unmet.length - b.unmet.length || b.score - a.score);
  options.onProgress?.(1, "Done");
  const turns = Math.floor(360 / (wish.turnStepDeg ?? 1) + 1e-9);
  return {
    proposals,
    ...judge(search, proposals, times, like, darkEnough),
    examined: {
      times: jdUt.length,
      dark: darkEnough ? times.length : 0,
      views: search.views.length,
      turns,
      skies: times.length * search.views.length * turns,
    },
  };
}

/** The times with the sky dark as wished; if there is none, the darkest one there is. */
function darkTimes(wish: Wish, like: Instant, jdUt: number[]): { times: number[]; darkEnough: boolean } {
  const level = wish.dark === false ? SUN_LEVELS_DEG.civil : SUN_LEVELS_DEG.astronomical;
  const sun = jdUt.map((jd) => sunAltitudeDeg(like, wish.place, jd));
  const times = jdUt.filter((_, i) => sun[i]! < level);
  if (times.length > 0) return { times, darkEnough: true };
  const lowest = sun.indexOf(Math.min(...sun));
  return { times: [jdUt[lowest]!], darkEnough: false };
}

/** The best candidates that show a client something else than every better one. */
export function distinct(
  candidates: readonly Candidate[],
  alike: (better: Candidate, other: Candidate) => number,
  most: number,
): Candidate[] {
  const chosen: Candidate[] = [];
  for (const candidate of candidates) {
    if (chosen.length >= most) break;
    if (chosen.every((better) => alike(better, candidate) <= ALIKE)) chosen.push(candidate);
  }
  return chosen;
}

/** The job's moment for an instant, with the occurrence where the clock showed it twice. */
function momentAt(instant: Instant): Moment {
  const local = instant.localIso.slice(0, 16);
  const zone = instant.zone;
  for (const occurrence of [undefined, "earlier", "later"] as const) {
    const moment: Moment = occurrence ? { local, zone, occurrence } : { local, zone };
    try {
      const read = resolveMoment(moment);
      if (Math.abs(read.jdUt - instant.jdUt) < 1 / 1440) return moment;
    } catch {
      // shown twice: try which of the two it is
    }
  }
  return { utc: instant.utcIso };
}

function propose(
  search: Search,
  settle: Settle,
  { candidate, instant, index }: { candidate: Candidate; instant: Instant; index: number },
  options: SearchOptions,
): Proposal {
  const { job, catalog, wish, base } = search;
  const view = search.views[candidate.view]!;
  const night: Night = {
    ...base,
    id: `found-${index + 1}`,
    title: "",
    place: wish.place,
    moment: momentAt(instant),
    view: { ...view, turnDeg: candidate.turnDeg },
    bodies: true,
    figures: CONSTELLATIONS.filter((name) => wish.constellations?.includes(name)),
  };
  const plan = settle({ ...job, sky: { chosen: night.id, options: [night] } }, catalog);
  const facts = nightFacts(plan, catalog, wholeNames(search, plan), search.seatMm);
  const { met, unmet } = granted(search, plan, candidate, facts);
  night.title = titleOf(search, plan, facts);
  return {
    night,
    score: Math.round(candidate.score / 1000) / 10,
    met,
    unmet,
    reasons: reasonsFor(search, plan, candidate, facts),
    facts: { ...facts, title: night.title },
    candidate,
    picture: options.pictures ? thumbnailOf(plan) : null,
  };
}

/** Names of the wished constellations that the plan shows whole. */
function wholeNames({ cast, catalog }: Search, plan: Planned): string[] {
  return cast.wished
    .filter((one) => one.kind === "figure" && missingOf(one, plan, catalog) === 0)
    .map((one) => one.name);
}

/** "Orion over the bar wall, upright, with Auriga overhead and Saturn, 21:30 (first time)": told apart by what a client sees. */
function titleOf({ cast, catalog }: Search, plan: Planned, facts: NightFacts): string {
  const bodies = cast.wished
    .filter((one) => one.kind === "body" && missingOf(one, plan, catalog) === 0)
    .map(wishName);
  const [first = "A quiet sky", second] = facts.standing;
  const others = [...(second === undefined ? [] : [second.replace(",", "")]), ...bodies];
  const parts = [first, ...(others.length > 0 ? [`with ${listed(others)}`] : [])];
  return `${parts.join(", ")}, ${clockAndPass(facts.localIso, facts.zone, facts.pass)}`;
}

/** Which wishes the settled plan grants. */
function granted(
  search: Search,
  plan: Planned,
  candidate: Candidate,
  facts: NightFacts,
): { met: string[]; unmet: string[] } {
  const met: string[] = [];
  const unmet: string[] = [];
  for (const one of search.cast.wished) {
    const missing = missingOf(one, plan, search.catalog);
    const name = wishName(one);
    if (missing === 0) met.push(one.kind === "figure" ? `${name}, whole` : name);
    else if (one.kind === "figure" && missing < one.stars)
      unmet.push(`${name} (${missing} of ${one.stars} stars missing)`);
    else unmet.push(name);
    if (one.kind === "figure" && missing < one.stars) judgeStanding(search, plan, one.name, met, unmet);
  }
  if (search.wish.milkyWay) {
    const words = `the Milky Way (on ${percent(facts.milkyWayShare)} of the ceiling)`;
    (facts.milkyWayShare >= MILKY_WAY_THERE ? met : unmet).push(words);
  }
  const { band } = candidate;
  if (band !== null && search.alongDeg !== null) {
    const off = betweenLinesDeg(band.axisDeg, search.alongDeg);
    const words = "the Milky Way along the wall";
    if (off <= ALONG_DEG && candidate.bandScore >= ALONG_SCORE) met.push(words);
    else unmet.push(`${words} (${band.share > 0 ? `${Math.round(off)}° off` : "not on the ceiling"})`);
  }
  if (search.wish.dark !== false) {
    const dark = plan.frame.sun.altitudeDeg < SUN_LEVELS_DEG.astronomical;
    (dark ? met : unmet).push("a dark sky");
  }
  return { met, unmet };
}

/** Whether a figure stands over its wall and upright, as far as that was wished. */
function judgeStanding(search: Search, plan: Planned, name: string, met: string[], unmet: string[]): void {
  const { wish, ceiling, catalog, seatMm } = search;
  const abbreviation = catalog.figures.find((figure) => figure.name === name)!.abbreviation;
  const standing = standingOf(name, seatMm, plan, catalog);
  const wall = wish.overWalls?.[abbreviation];
  if (wall !== undefined) {
    const wished = `${name} over ${theWall(ceiling.walls[wall]!.name)}`;
    const now = standing?.wall ?? null;
    if (now === wall) met.push(wished);
    else
      unmet.push(
        `${wished} (it stands ${now === null ? "overhead" : `over ${theWall(ceiling.walls[now]!.name)}`})`,
      );
  }
  if (wish.mostTurnedDeg === undefined || standing === null) return;
  const off = Math.abs(standing.turnedDeg);
  if (off <= wish.mostTurnedDeg) met.push(`${name} upright (turned ${off}°)`);
  else unmet.push(`${name} upright (turned ${off}°, at most ${wish.mostTurnedDeg}° wished)`);
}

/** When the Sun is below -18 degrees again, before and after. */
function nearestDarkWords(search: Search, jdUt: number): string[] {
  const { before, after } = nearestDark(search.frameOf(jdUt));
  const said = (instant: Instant): string =>
    `${dateWords(instant.localIso, instant.zone)} at ${clockWords(instant.localIso, instant.zone)}`;
  const parts = [
    before && `it was last dark on ${said(before)}`,
    after && `it is dark again on ${said(after)}`,
  ];
  const words = parts.filter((part) => part !== null);
  return words.length === 0 ? [] : [`At this place ${words.join("; ")}.`];
}

function judge(
  search: Search,
  proposals: readonly Proposal[],
  times: readonly number[],
  like: Instant,
  darkEnough: boolean,
): Pick<SearchResult, "met" | "verdict" | "nearest"> {
  const first = proposals[0];
  if (first && first.unmet.length === 0) {
    const count = proposals.filter((p) => p.unmet.length === 0).length;
    return {
      met: true,
      verdict: `All of it can be had: ${count === 1 ? "one proposal does" : `${count} proposals do`}, best first.`,
      nearest: [],
    };
  }
  const nearest: string[] = [];
  if (!darkEnough) {
    const sun = first ? `${first.facts.sunAltitudeDeg.toFixed(1)}°` : "too high";
    nearest.push(`It does not get dark between these hours: the Sun is lowest at ${sun}.`);
    nearest.push(...nearestDarkWords(search, times[0]!));
  }
  const failing = search.cast.wished.filter((one) => {
    const name = wishName(one);
    return first?.unmet.some((words) => words === name || words.startsWith(`${name} (`)) ?? true;
  });
  nearest.push(...whyNotMet(search, failing, times, like));
  const date = failing.length > 0 || !darkEnough ? nearestDate(search, times, like) : null;
  if (date !== null) nearest.push(date);
  if (first)
    nearest.push(
      `Nearest on this night: ${clockWords(first.facts.localIso, first.facts.zone)} with ${listed(first.met) || "none of it"}; missing ${listed(first.unmet)}.`,
    );
  return { met: false, verdict: "No night gives all of that.", nearest };
}
