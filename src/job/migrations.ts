import { readValidity } from "./codeWords.ts";
import { isObject, withMetricPapers } from "./usualPapers.ts";

/** One step from a version of the document to the next, named by what it does. */
export interface Migration {
  /** The version it starts from; it leads to `from + 1`. */
  from: number;
  /** What it does, in words that `velarium check` can show. */
  name: string;
  up(document: Record<string, unknown>): Record<string, unknown>;
}

type Loose = Record<string, unknown>;

/** `document` with every no-go thing changed; what is no thing is left for the schema to refuse. */
function withNoGo(document: Loose, change: (thing: Loose) => Loose): Loose {
  const { ceiling } = document;
  if (!isObject(ceiling) || !Array.isArray(ceiling["noGo"])) return document;
  const noGo = ceiling["noGo"].map((thing: unknown) => (isObject(thing) ? change(thing) : thing));
  return { ...document, ceiling: { ...ceiling, noGo } };
}

/** The codes of version 6 for the phrases of version 5. */
const CODES = {
  pile: { "up the plan": "up", "across the plan": "across" },
  mode: { "least length": "least-length", "equal parts": "equal-parts" },
  place: { "hard-wired above the ceiling": "above-ceiling" },
  source: { "common practice, no source": "" },
  sheet: {
    "63.5 x 38.1 mm, 3 x 7 on A4": "A4-63.5x38.1",
    "70 x 37 mm, 3 x 8 on A4": "A4-70x37",
    "99.1 x 38.1 mm, 2 x 7 on A4": "A4-99.1x38.1",
    "38.1 x 21.2 mm, 5 x 13 on A4": "A4-38.1x21.2",
    "2 5/8 x 1 in, 3 x 10 on Letter": "Letter-2.625x1in",
    "4 x 2 in, 2 x 5 on Letter": "Letter-4x2in",
    "plain A4 to cut, 3 x 8": "A4-cut",
    "plain Letter to cut, 3 x 7": "Letter-cut",
  },
} as const satisfies Record<string, Record<string, string>>;

/** `section` with the phrase under `key` as a code; what is no phrase of ours stays. */
function coded(section: unknown, key: keyof typeof CODES): unknown {
  if (!isObject(section)) return section;
  const codes = new Map(Object.entries(CODES[key]));
  const code = codes.get(section[key] as string);
  return code === undefined ? section : { ...section, [key]: code };
}

function withCodedEngines(section: Loose): Loose {
  const { engines } = section;
  return Array.isArray(engines) ? { ...section, engines: engines.map((e) => coded(e, "place")) } : section;
}

const codedBundles = (bundles: Loose): Loose =>
  withCodedEngines({
    ...(coded(bundles, "mode") as Loose),
    ...("labels" in bundles ? { labels: coded(bundles["labels"], "sheet") } : {}),
  });

function codedTakeoff(takeoff: Loose): Loose {
  const { fabric, rates, prices } = takeoff;
  const validity = isObject(prices) && prices["validity"];
  return {
    ...takeoff,
    ...(fabric === undefined ? {} : { fabric: coded(fabric, "pile") }),
    ...(rates === undefined ? {} : { rates: coded(rates, "source") }),
    ...(isObject(prices) && typeof validity === "string"
      ? { prices: { ...prices, validity: readValidity(validity) } }
      : {}),
  };
}

/** A firm's file as this program writes it: one of version 1 had phrases where codes stand now. */
export function firmOfToday(document: unknown): unknown {
  if (!isObject(document) || document["version"] !== 1) return document;
  const { takeoff, labels } = document;
  return {
    ...document,
    version: 2,
    ...(isObject(takeoff) ? { takeoff: codedTakeoff(takeoff) } : {}),
    ...(labels === undefined ? {} : { labels: coded(labels, "sheet") }),
  };
}

/** Every step since version 1, in order. */
export const MIGRATIONS: readonly Migration[] = [
  {
    from: 1,
    name: "words beside a no-go zone are no agreement: they are kept, and the question is open again",
    up: (document) =>
      withNoGo(document, ({ agreed, ...thing }) =>
        agreed === undefined || agreed === ""
          ? thing
          : { ...thing, agreement: { answer: "open", words: agreed } },
      ),
  },
  {
    from: 2,
    name: "a bearing that the job holds counts as given, or as read off a needle where a declination stands beside it",
    up: (document) => {
      const { ceiling } = document;
      if (!isObject(ceiling) || ceiling["bearingDeg"] === undefined) return document;
      const bearingFrom = ceiling["magneticDeclinationDeg"] === undefined ? "given" : "needle";
      return { ...document, ceiling: { ...ceiling, bearingFrom } };
    },
  },
  {
    from: 3,
    name: "strands set aside are for real fainter stars, no invented ones; a pin belongs to the sky it was made in",
    up: (document) => {
      const pattern = isObject(document["pattern"]) ? document["pattern"] : {};
      const { fillerShare = 0, ...rest } = pattern;
      const night = isObject(document["sky"]) ? document["sky"]["chosen"] : undefined;
      const pinned = (h: unknown) => (isObject(h) && h["do"] === "pin" ? { ...h, night } : h);
      const byHand = Array.isArray(rest["byHand"]) ? { byHand: rest["byHand"].map(pinned) } : {};
      return { ...document, pattern: { ...rest, ...byHand, deeperShare: fillerShare } };
    },
  },
  {
    from: 4,
    // the key is new; a program that doesn't know it would move issued holes, so it must not open such a file
    name: "nothing is issued yet",
    up: (document) => ({ ...document, issued: null }),
  },
  {
    from: 5,
    name: "what was written in English phrases is written in codes",
    up: (document) => {
      const { takeoff, bundles, issued } = document;
      return {
        ...document,
        ...(isObject(takeoff) ? { takeoff: codedTakeoff(takeoff) } : {}),
        ...(isObject(bundles) ? { bundles: codedBundles(bundles) } : {}),
        ...(isObject(issued) ? { issued: withCodedEngines(issued) } : {}),
      };
    },
  },
  {
    from: 6,
    name: "a job in feet that names no paper keeps the A4 sheets and labels it was printed on",
    up: withMetricPapers,
  },
  {
    from: 7,
    name: "twinkle stays dealt among all holes of an engine, as it was printed",
    up: (document) => {
      const { bundles } = document;
      if (!isObject(bundles) || !isObject(bundles["twinkle"])) return document;
      const { kind = "none" } = bundles["twinkle"];
      if (kind === "none") return document;
      return { ...document, bundles: { ...bundles, twinkle: { ...bundles["twinkle"], dealt: "engine" } } };
    },
  },
];

/**
 * Carries a document from its version up to `current`, one named step at a time; the input is not touched.
 * Throws Error when the table has a gap or a step twice: that is our mistake, never the user's.
 */
export function migrate(
  document: Record<string, unknown>,
  version: number,
  current: number,
  table: readonly Migration[] = MIGRATIONS,
): { document: Record<string, unknown>; migrated: string[] } {
  const steps = Array.from({ length: current - version }, (_, i) => {
    const found = table.filter((m) => m.from === version + i);
    if (found.length !== 1) {
      throw new Error(`${found.length} migrations from version ${version + i} of the job, expected 1`);
    }
    return found[0] as Migration;
  });
  let carried = document;
  for (const step of steps) carried = { ...step.up(structuredClone(carried)), version: step.from + 1 };
  return { document: carried, migrated: steps.map((s) => `version ${s.from} to ${s.from + 1}: ${s.name}`) };
}
