import { describe, expect, test } from "vitest";
import { JobFaults } from "../../src/job/faults.ts";
import type { Fault } from "../../src/job/faults.ts";
import { MAX_JOB_BYTES, readJson } from "../../src/job/json.ts";
import fc from "fast-check";

function faultsOf(input: string | Uint8Array): Fault[] {
  try {
    readJson(input);
  } catch (error) {
    if (error instanceof JobFaults) return error.faults;
    throw error;
  }
  return [];
}

describe("strict JSON", () => {
  // JSON.parse of the engine is the outside reference: same values, same refusals
  test("takes what JSON.parse takes, and gives the same", () => {
    fc.assert(
      fc.property(fc.json(), fc.nat(3), (text, indent) => {
        const spaced = JSON.stringify(JSON.parse(text), null, indent);
        fc.pre(!spaced.includes('"__proto__"'));
        expect(readJson(spaced)).toEqual(JSON.parse(spaced));
      }),
    );
  });

  test("refuses what JSON.parse refuses", () => {
    const accepts = (text: string): boolean => {
      try {
        JSON.parse(text);
        return true;
      } catch {
        return false;
      }
    };
    const pieces = fc.array(
      fc.constantFrom(
        "{",
        "}",
        "[",
        "]",
        ",",
        ":",
        '"a"',
        '"',
        "1",
        "-",
        "0",
        "01",
        ".5",
        "1e",
        "1e3",
        "true",
        "nul",
        "null",
        " ",
        "\n",
        "\\",
        "'",
        "NaN",
      ),
      { maxLength: 9 },
    );
    fc.assert(
      fc.property(pieces, (parts) => {
        const text = parts.join("");
        const repeats =
          faultsOf(text).every((f) => f.expected === "each key once") && faultsOf(text).length > 0;
        expect(faultsOf(text).length === 0 || repeats).toBe(accepts(text));
      }),
      { numRuns: 3000 },
    );
  });

  test.each([
    ['{\n  "a": NaN\n}', "line 2, column 8", "NaN"],
    ['{"a": -Infinity}', "line 1, column 7", "-Infinity}"],
    ["", "line 1, column 1", "the end of the file"],
    ['{"a": [1, 2,]}', "line 1, column 13", "]}"],
    ['{"a": 1} x', "line 1, column 10", "x"],
    ['{"a": 1,\n// mine\n"b": 2}', "line 2, column 1", "// mine"],
    ['{"a": "two\nlines"}', "line 1, column 7", '"two'],
    ["{‘a’: 1}", "line 1, column 2", "‘a’: 1}"],
  ])("says where %j breaks off", (text, path, got) => {
    expect(faultsOf(text)).toMatchObject([{ path, got }]);
  });

  test("names repeated and forbidden keys by their path, all at once", () => {
    const paths = faultsOf('{"a": {"b": 1, "b": 2}, "c": [{"__proto__": {"x": 1}}]}').map((f) => f.path);
    expect(paths).toEqual(["a.b", "c[0].__proto__"]);
    expect(({} as Record<string, unknown>)["x"]).toBeUndefined();
  });

  test("takes a byte order mark, refuses other encodings, size and depth", () => {
    expect(readJson(new TextEncoder().encode('\uFEFF{"é": "Ł"}'))).toEqual({ é: "Ł" });
    expect(faultsOf(new Uint8Array([0xff, 0xfe, 0x7b, 0x00]))[0]?.expected).toBe("text in UTF-8");
    expect(faultsOf(new Uint8Array(MAX_JOB_BYTES + 1))[0]?.expected).toBe("at most 8.0 MB");
    expect(faultsOf("[".repeat(70) + "]".repeat(70))[0]?.expected).toBe("at most 64 levels of brackets");
  });

  test("a text as long as the limit allows does not exhaust the stack", () => {
    expect(readJson(`["${"\\n".repeat(3.9e6)}"]`)).toHaveLength(1);
  });
});
