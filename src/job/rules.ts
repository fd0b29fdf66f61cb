import type { Fault } from "./faults.ts";
import { shorten } from "./documentSchema.ts";
import type { Job } from "./schema.ts";

/** What a schema can't say and only the job itself is needed for. Each part is taken as far as it is sound. */
export function ruleFaults(
  job: Partial<Pick<Job, "sky" | "strands" | "pattern" | "ceiling" | "sheets">>,
): Fault[] {
  return [
    ...(job.sky ? skyFaults(job.sky) : []),
    ...(job.strands ? strandFaults(job.strands) : []),
    ...(job.pattern ? byHandFaults(job.pattern) : []),
    ...(job.ceiling ? wallFaults(job.ceiling) : []),
    ...(job.sheets ? repeated(job.sheets.sides, (i) => `sheets.sides[${i}]`, "each side once") : []),
  ];
}

function skyFaults(sky: Job["sky"]): Fault[] {
  const ids = sky.options.map((o) => o.id);
  return [
    ...repeated(ids, (i) => `sky.options[${i}].id`, "an id that no other night has"),
    ...chosenFault(sky.chosen, ids),
  ];
}

/** Whether the chosen sky is there. */
export function chosenFault(chosen: string, ids: string[]): Fault[] {
  if (ids.includes(chosen)) return [];
  return [
    {
      path: "sky.chosen",
      expected: `the id of one of the nights: ${ids.join(", ")}`,
      got: shorten(chosen),
      next: "Choose one of them, or add that night to sky.options.",
    },
  ];
}

function strandFaults(strands: Job["strands"]): Fault[] {
  const { stock } = strands;
  const faults = repeated(
    stock.map((s) => s.diameterMm),
    (i) => `strands.stock[${i}].diameterMm`,
    "each diameter once",
  );
  if (stock.every((s) => s.count === 0)) {
    faults.push({
      path: "strands.stock",
      expected: "at least one strand",
      got: "0 in every diameter",
      next: "Write how many strands of each diameter there are.",
    });
  }
  return faults;
}

function byHandFaults(pattern: Job["pattern"]): Fault[] {
  const whats = pattern.byHand.map((h) => {
    if (h.do === "add") return undefined;
    return h.do === "pin" ? `${h.what} in the sky ${h.night}` : `${h.what}`;
  });
  const faults = repeated(
    whats,
    (i) => `pattern.byHand[${i}].what`,
    "each star left out once, or pinned once in each night",
  );
  pattern.byHand.forEach((h, i) => {
    if (h.do !== "pin" || (h.offsetMm === undefined) !== (h.atMm === undefined)) return;
    faults.push({
      path: `pattern.byHand[${i}]`,
      expected: "either offsetMm or atMm",
      got: h.atMm ? "both" : "neither",
      next: "Give offsetMm, the millimetres from where that sky puts the star, right and up on the plan.",
    });
  });
  return [
    ...faults,
    ...pattern.byHand.flatMap((h, i): Fault[] =>
      h.do === "omit" || h.strands === undefined || h.diameterMm !== undefined
        ? []
        : [
            {
              path: `pattern.byHand[${i}].strands`,
              expected: "a diameterMm beside it",
              got: `${h.strands} strands of no diameter`,
              next: "Write which strands share the hole, or remove strands: then the brightness scale decides.",
            },
          ],
    ),
  ];
}

function wallFaults(ceiling: Job["ceiling"]): Fault[] {
  if (ceiling.walls.length <= ceiling.outlineMm.length) return [];
  return [
    {
      path: "ceiling.walls",
      expected: `at most ${ceiling.outlineMm.length} names, one for each side of outlineMm`,
      got: `${ceiling.walls.length} names`,
      next: "Remove names, or add the missing corners.",
    },
  ];
}

function repeated(values: readonly unknown[], path: (i: number) => string, expected: string): Fault[] {
  return values.flatMap((value, i) => {
    const first = values.indexOf(value);
    if (value === undefined || first === i) return [];
    return [
      {
        path: path(i),
        expected,
        got: `${shorten(value)}, as in ${path(first)}`,
        next: "Change one of the two.",
      },
    ];
  });
}
