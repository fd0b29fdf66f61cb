type Loose = Record<string, unknown>;

export const isObject = (value: unknown): value is Loose =>
  typeof value === "object" && value !== null && !Array.isArray(value);

const AMERICAN: Loose = { sheets: { paper: "Letter" }, bundles: { labels: { sheet: "Letter-2.625x1in" } } };
const METRIC: Loose = { sheets: { paper: "A4" }, bundles: { labels: { sheet: "A4-63.5x38.1" } } };

/** `given` with the keys of `usual` that it leaves out; what is there stays, also where the schema will refuse it. */
export function filled(given: unknown, usual: unknown): unknown {
  if (given === undefined) return usual;
  if (!isObject(given) || !isObject(usual)) return given;
  return {
    ...given,
    ...Object.fromEntries(Object.keys(usual).map((key) => [key, filled(given[key], usual[key])])),
  };
}

/** What a job prints on where it doesn't say: American papers for who measures in feet, else the schema's own. */
export const withUsualPapers = (document: Loose): Loose =>
  document["units"] === "ft-in" ? (filled(document, AMERICAN) as Loose) : document;

/** A job in feet with the papers it had where it didn't say, until version 6. */
export const withMetricPapers = (document: Loose): Loose =>
  document["units"] === "ft-in" ? (filled(document, METRIC) as Loose) : document;
