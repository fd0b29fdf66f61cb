import { byTime, type Entry } from "../record/entry.ts";

/** One day's service on the ceiling, as a row of the service record. */
export interface Visit {
  /** Day, as 2031-02-14, by the clock of the device; "" where that was days off. */
  on: string;
  who: string;
  /** "C4, C5" */
  lifted: string;
  /** "C4 no. 12" of strands that were dead, weak or replaced. */
  strands: string;
  /** What was done, in words. */
  done: string;
  revision: string;
}

/** What a visit does, in words. */
const DONE: Partial<Record<Entry["what"], string>> = {
  replaced: "strand replaced by a spare",
  dead: "strand found dead",
  weak: "strand found weak",
  lit: "strand lights again",
  "engine changed": "engine changed",
};

/** Visits after the ceiling was hung: whoever lifted a tile, replaced a strand or changed an engine, by day and person. */
export function visitsOf(entries: readonly Entry[], dayOf: (atMs: number) => string): Visit[] {
  const visits = new Map<string, { first: Entry; lifted: Set<string>; strands: Set<string>; done: Map<string, number>; revisions: Set<number> }>(); // prettier-ignore
  for (const entry of byTime(standing(entries))) {
    const words = DONE[entry.what];
    if (entry.what !== "lifted" && words === undefined) continue;
    const key = `${dayOf(entry.atMs)} ${entry.who}`;
    const visit = visits.get(key) ?? { first: entry, lifted: new Set<string>(), strands: new Set<string>(), done: new Map<string, number>(), revisions: new Set<number>() }; // prettier-ignore
    visits.set(key, visit);
    visit.revisions.add(entry.revision);
    if (entry.what === "lifted") visit.lifted.add(entry.tile);
    if ("hole" in entry) visit.strands.add(`${entry.tile} no. ${typeof entry.hole === "number" ? entry.hole : "added"}`); // prettier-ignore
    const said = entry.what === "engine changed" ? `engine ${entry.engine} changed` : words;
    const all = [said, entry.note].filter((part) => part !== undefined && part !== "").join(": ");
    if (all) visit.done.set(all, (visit.done.get(all) ?? 0) + 1);
  }
  return [...visits.values()].map(({ first, lifted, strands, done, revisions }) => ({
    on: dayOf(first.atMs),
    who: first.who,
    lifted: [...lifted].join(", "),
    strands: [...strands].join(", "),
    done: [...done].map(([words, times]) => (times > 1 ? `${words} (${times})` : words)).join("; "),
    revision: [...revisions].join(", "),
  }));
}

/** Entries that nobody has taken back. A strand that was dead and then replaced was both: the record tells of both. */
function standing(entries: readonly Entry[]): Entry[] {
  const undone = new Set(
    entries.flatMap((entry) => (entry.what === "undone" && !entry.holes ? entry.of : [])),
  );
  return entries.filter(({ id, what }) => what !== "undone" && !undone.has(id));
}

/** The day on the calendar of a zone, "" for the clock of no year that is; UTC where no zone is known. */
export function dayIn(zone: string): (atMs: number) => string {
  const days = new Intl.DateTimeFormat("en-CA", { timeZone: zone || "UTC", dateStyle: "short" });
  return (atMs) => (Math.abs(atMs) < 8.64e15 ? days.format(atMs) : "");
}
