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
/** Words with which a page would clear something. */
const CLEARS =
  /\b(ok|okay|safe|safely|safety-approved|compliant|compliance|complies|approved|certified as|permitted|allowed to|no risk|harmless|guaranteed?)\b/i;
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
    expect(codes(jobWith({}, ["smoke-detector"]))).toContain("fire-detector");
    expect(codes(jobWith({}, ["smoke-detector"]))).not.toContain("motion-detector");
    expect(codes(jobWith({}, ["motion-detector"]))).toContain("motion-detector");
    expect(codes(jobWith({}, ["motion-detector"]))).not.toContain("fire-detector");
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
      "weight",
      "landlord",
      "flicker",
      "laser",
      "dust-and-eyes",
    ]);
  });

  test("what to look up is that of the place: Britain, the Union, the States, or all where it is none of them", () => {
    const sourceIn = (zone: string): string => {
      const job = jobWith({}, ["smoke-detector"]);
      const [night] = job.sky.options;
      night!.moment = { local: "2029-09-08T22:00", zone };
      return cautionsFor(job).find(({ code }) => code === "fire-detector")!.source;
    };
    expect(sourceIn("Europe/London")).toMatch(/^Britain: BS 5839-1/);
    expect(sourceIn("Europe/Vienna")).toMatch(/^European Union: EN 54/);
    expect(sourceIn("America/Indiana/Knox")).toBe("United States: NFPA 72, chapter 17 and annex A");
    expect(sourceIn("America/Halifax")).toMatch(/United States: .*Britain: .*European Union: /);
  });

  test("each names where to look, none ever clears anything", () => {
    const kinds = ["sprinkler", "smoke-detector", "camera", "luminaire", "hatch"] as const;
    const all = [
      ...cautionsFor(jobWith({ returnAirVoid: "yes", fireRated: "yes" }, [...kinds])),
      ...cautionsFor(jobWith({})),
    ];
    for (const { title, text, source } of all) {
      expect(source).not.toBe("");
      expect(`${title} ${text}`).not.toMatch(CLEARS);
    }
    expect(WHO_DECIDES).toContain("jurisdiction");
  });
});
