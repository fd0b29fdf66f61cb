import fc from "fast-check";

/** What somebody, or another program, may have put in the place of a value. */
const strange = fc.oneof(
  fc.constantFrom<unknown>(
    null,
    true,
    "",
    "0",
    "Ł☾\u202e",
    -0,
    1e-300,
    1e300,
    -1e9,
    2 ** 53,
    [],
    {},
    [[]],
    "../../x",
  ),
  fc.double({ noNaN: true, noDefaultInfinity: true }),
  fc.jsonValue({ maxDepth: 2 }) as fc.Arbitrary<unknown>,
);

/** Where in a document, counted over all its values, and what happens there. */
export const mutation = fc.record({
  at: fc.nat(100_000),
  how: fc.constantFrom("replace", "delete", "repeat", "rename"),
  value: strange,
});

/** The document with one of its values replaced, deleted, repeated a thousand times or under another name. */
export function mutated(
  document: unknown,
  { at, how, value }: { at: number; how: string; value: unknown },
): unknown {
  const copy = structuredClone(document);
  const places: { holder: Record<string, unknown>; key: string }[] = [];
  const walk = (holder: unknown): void => {
    if (typeof holder !== "object" || holder === null) return;
    for (const key of Object.keys(holder)) {
      places.push({ holder: holder as Record<string, unknown>, key });
      walk((holder as Record<string, unknown>)[key]);
    }
  };
  walk(copy);
  const { holder, key } = places[at % places.length]!;
  const old = holder[key];
  if (how === "repeat" && Array.isArray(old)) holder[key] = Array.from({ length: 1000 }, () => old).flat();
  else if (how === "rename" && !Array.isArray(holder)) {
    delete holder[key];
    holder[`${key} `] = old;
  } else if (how === "delete" && !Array.isArray(holder)) delete holder[key];
  else holder[key] = value;
  return copy;
}
