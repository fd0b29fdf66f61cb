import { describe, expect, test } from "vitest";
import { cautionsFor, WHO_DECIDES } from "../../src/job/cautions.ts";
import { readJob } from "../../src/job/read.ts";
import type { Job } from "../../src/job/schema.ts";
import { sampleJob } from "./sample.ts";

function jobWith(
  survey: Partial<Job["ceiling"]["survey"]>,
  kinds: Job["ceiling"]["noGo"][number]["kind"][] = [],
): Job {
  const input = sampleJob();
  input.ceiling.survey = survey;
  input.ceiling.noGo = kinds.map((kind) => ({ kind, circle: { centreMm: [500, 500], radiusMm: 20 } }));
  return readJob(JSON.stringify(input)).job;
}
const codes = (job: Job): string[] => cautionsFor(job).map((c) => c.code);

describe("cautions", () => {
  test("follow the facts of the job", () => {
    expect(codes(jobWith({}, ["sprinkler"]))).toContain("sprinkler");
    expect(codes(jobWith({ sprinklered: "yes" }))).toContain("sprinkler");
    expect(codes(jobWith({ sprinklered: "no" }))).not.toContain("sprinkler");
    expect(codes(jobWith({}))).toEqual(
      expect.arrayContaining(["sprinkler-unknown", "void-unknown", "fire-rated-unknown"]),
    );
    expect(codes(jobWith({ returnAirVoid: "yes" }))).toContain("return-air-void");
    expect(codes(jobWith({ fireRated: "yes" }))).toContain("fire-rated");
    expect(codes(jobWith({}, ["smoke-detector"]))).toContain("detector");
    // FACTS.asbestosYear: UK buildings before 2000 (HSG264), an unknown year counts as old
    expect(codes(jobWith({ builtYear: 1999 }))).toContain("asbestos");
    expect(codes(jobWith({ builtYear: null }))).toContain("asbestos");
    expect(codes(jobWith({ builtYear: 2000 }))).not.toContain("asbestos");
  });

  test("some fit every job", () => {
    const job = jobWith({ returnAirVoid: "no", fireRated: "no", sprinklered: "no", builtYear: 2015 });
    expect(codes(job)).toEqual([
      "supports",
      "power",
      "finish",
      "ladders",
      "spray",
      "hot-glue",
      "dust-and-eyes",
    ]);
  });

  test("each names where to look, none ever clears anything", () => {
    const kinds = ["sprinkler", "smoke-detector", "camera", "luminaire", "hatch"] as const;
    const all = [
      ...cautionsFor(jobWith({ returnAirVoid: "yes", fireRated: "yes" }, [...kinds])),
      ...cautionsFor(jobWith({})),
    ];
    for (const { title, text, source } of all) {
      expect(source).not.toBe("");
      expect(`${title} ${text}`).not.toMatch(/\b(ok|okay|safe|safely|compliant|approved)\b/i);
    }
    expect(WHO_DECIDES).toContain("jurisdiction");
  });
});
