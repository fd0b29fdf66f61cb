import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { isOfJob, labelCode, readLabelCode } from "../../src/bundles/labelCode.ts";

describe("the code of a label as text", () => {
  test("what is written is read again, in small letters and with spaces too", () => {
    const jobId = fc.stringMatching(/^[0-9A-F]{16}$/);
    const tile = fc.stringMatching(/^[A-Z]{1,2}[1-9]\d{0,2}(-[1-9])?$/);
    const engine = fc.stringMatching(/^[A-Z]{1,2}$/);
    fc.assert(
      fc.property(jobId, tile, fc.option(engine), (id, name, letter) => {
        const code = { jobId: id, tile: name, tail: letter === null ? "" : `${letter}-${name}` };
        const words = labelCode(code);
        expect(words).toMatch(/^[0-9A-Z:-]+$/);
        expect(readLabelCode(words)).toEqual(code);
        expect(readLabelCode(` ${words.toLowerCase().replaceAll(":", ": ")} `)).toEqual(code);
        expect(isOfJob(code, { id: id.toLowerCase() })).toBe(true);
      }),
      { seed: 18004 },
    );
  });

  test.each([
    "",
    "C4",
    "https://example.org/C4",
    "VELARIUM:",
    "VELARIUM::C4",
    "VELARIUM:AB:4C",
    "VELARIUM:AB:C4:A-C4:X",
  ])("%j is no label of ours", (words) => expect(readLabelCode(words)).toBeNull());
});
