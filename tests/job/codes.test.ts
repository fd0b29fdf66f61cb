import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { CODES } from "../../src/job/codes.ts";

const OWN = join("src", "job", "codes.ts");
const sources = readdirSync("src", { recursive: true, encoding: "utf8" })
  .map((name) => join("src", name))
  .filter((name) => /\.(ts|svelte)$/.test(name) && name !== OWN)
  .map((name) => [name, readFileSync(name, "utf8")] as const);
const quoted = (code: string): RegExp => new RegExp(`["']${code}["']`);

describe("the register of codes", () => {
  test.each(Object.keys(CODES))("%s is said by some part", (code) => {
    expect(sources.some(([, text]) => quoted(code).test(text))).toBe(true);
  });

  test("nobody picks warnings by their code as text: panels and pages ask for a subject", () => {
    const picked = sources.flatMap(([name, text]) =>
      [...text.matchAll(/[!=]==\s*["']([a-z-]+)["']/g)].flatMap(([, word]) =>
        word! in CODES && /\.code\b|\bcode\b/.test(text) && word!.includes("-") ? [`${name}: ${word}`] : [],
      ),
    );
    expect(picked).toEqual([]);
  });
});
