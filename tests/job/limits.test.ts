import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { LIMITS } from "../../src/job/limits.ts";
import { NO_GO, NO_GO_KINDS, kindWords } from "../../src/job/noGoKinds.ts";
import { cautionsFor } from "../../src/job/cautions.ts";
import { noGoSchema } from "../../src/job/sections/ceiling.ts";
import { number } from "../../src/job/sections/common.ts";
import { jobSchema } from "../../src/job/schema.ts";
import { sampleJob } from "./sample.ts";

describe("bounds of numbers stand once", () => {
  test.each(Object.entries(LIMITS))("%s: the schema takes what the bound takes", (_name, limit) => {
    const { min, max } = limit;
    const above = "above" in limit;
    const schema = number(limit);
    expect(schema.safeParse(min).success).toBe(!above);
    expect(schema.safeParse(max).success).toBe(true);
    expect(schema.safeParse(max + 1).success).toBe(false);
    expect(schema.safeParse(min - 1).success).toBe(false);
    expect(schema.safeParse(NaN).success).toBe(false);
    expect(schema.safeParse(max - 0.5).success).toBe(!("whole" in limit) && (!above || max > 0.5));
  });

  test("no section of the schema writes a bound of its own", () => {
    const folder = "src/job/sections";
    const own = readdirSync(folder).flatMap((name) =>
      [
        ...readFileSync(join(folder, name), "utf8").matchAll(/z\s*\.(?:number|int)\(\)\s*\.\w+\([^)]*\)/g),
      ].map(([text]) => `${name}: ${text}`),
    );
    expect(own.filter((text) => !text.startsWith("common.ts"))).toEqual([]);
  });
});

describe("kinds of no-go stand once", () => {
  test.each(NO_GO_KINDS)("%s: taken by the schema, with the caution it brings", (kind) => {
    const { shape, caution, clearanceMm } = NO_GO[kind];
    const placed =
      "circle" in shape
        ? { circle: { centreMm: [900, 900], ...shape.circle } }
        : { rectangle: { cornerMm: [900, 900], ...shape.rectangle } };
    const zone = noGoSchema.parse({ kind, clearanceMm, ...placed });
    const job = jobSchema.parse(sampleJob());
    job.ceiling.noGo = [];
    const before = cautionsFor(job).map(({ code }) => code);
    job.ceiling.noGo = [zone];
    const after = cautionsFor(job).map(({ code }) => code);
    if (caution) expect(after).toContain(caution);
    else expect(after).toEqual(before);
    expect(kindWords(kind)).not.toContain("-");
  });

  test("no other source names the kinds one by one", () => {
    const own = ["src/job/noGoKinds.ts"];
    const several = readdirSync("src", { recursive: true, encoding: "utf8" })
      .map((name) => join("src", name))
      .filter((name) => /\.(ts|svelte)$/.test(name) && !own.includes(name))
      .filter((name) => {
        const text = readFileSync(name, "utf8");
        return NO_GO_KINDS.filter((kind) => kind !== "other" && text.includes(`"${kind}"`)).length > 3;
      });
    // read from drawings by the words of their layers and blocks
    expect(several.filter((name) => !name.startsWith(join("src", "survey")))).toEqual([]);
  });
});
