import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { visibleWords } from "./visibleWords.ts";

/**
 * Words that stop a reader, or are a second name for one thing, each with the word that is used instead. Where a word has a
 * meaning of its own too (light is lost along a strand), only the bad use is listed.
 */
const NOT_SAID: [RegExp, string][] = [
  [/\banew\b/i, "again"],
  [/\breckon/i, "work out, count"],
  [/\bfor want of\b/i, "because there is no"],
  [/\b(to be mended|mend the)\b/i, "to fix, correct"],
  // placed, assigned, compared: settling is for questions, sharing for devices, weighing for scales
  [
    /\bsettl(e|es|ed|ing) (holes|stars|by itself|now|the (stars|holes|best))|\b(holes|stars|stop) (are |still )*(being )?settl|\bsettles? round\b/i,
    "place",
  ],
  [
    /\b(shar(e|es|ed|ing)( the tiles| tiles)?|the tiles) out to\b|\btiles shared out\b|\bsharing-out\b|\bhand rules\b/i,
    "assign, rules of thumb",
  ],
  [/\bweigh(s|ed|ing)? (views|strands|them|the night)|\bviews weighed\b/i, "compare"],
  [/\bladders? (of brightness|came out)|\bwhole ladder\b/i, "brightness scale"],
  [/\bpok(e|ed|ing)\b(?!$)|^Holes poked|\bcloth\b/i, "punch, fabric"],
  [/\b(taken|take|taking) over\b|\btake into\b|\bin vain\b/i, "add, copy, use, for nothing"],
  [
    /\bput none down\b|\bdraw none\b|^(farther|nearer)$|\bas may be\b|^hold still|\btaken for\b/i,
    "plain words",
  ],
  [/\btake (it|them|the entry) out\b|\bout it\b/i, "remove"],
  [/\bwork slip\b|\bslip\b/i, "panels"],
  [
    /\b(whilst|thereof|wherein|hereby|herewith|forthwith|heretofore|albeit|naught|betwixt|yonder)\b/i,
    "plain words",
  ],
  [/\b(take|taken) back: |\b(do|done) again: |\bnothing to take back$/i, "undo, redo"],
  // one word for a star that has no hole
  [
    /\b(lost|missing) stars?\b|\bstars? (are |were |is |was )?(lost|given up)\b|\bgiven up$|\bnot on this ceiling$/i,
    "left out",
  ],
  [/\bomitted by hand\b/i, "left out by hand"],
  // one word for a place, an hour and a view that the job holds
  [/\b(chosen|another|other|each|job's|these) (skies|sky|option)\b(?!')/i, "night"],
  [/(?<!night )\bskies\b/i, "nights"],
  [/\bfigures? (whole|of stars|that)\b|\b(whole|a) figure\b|\bfigures that\b/i, "constellation"],
  [/\bair outlets?\b/i, "diffuser"],
  [/(?<!loud|=)\bspeakers?\b/i, "loudspeaker"],
  [/\b(fitting|things?) (still )?to come\b/i, "future fitting"],
  [
    /\bkeep(s|ing)? clear (of|round)\b|\bkeep-outs?\b|\bno-go things?\b|\bthat thing\b/i,
    "no-go zone, clearance",
  ],
  [/\b(is|are|has|have|each|nobody) begun\b|\bbegun (and|tiles?)\b/i, "started"],
  [/\b(the|its|of|to) rim\b|^rim\b/i, "edge"],
  [/ft²/, "sq ft"],
  [/\bloss of the strand\b|\blight lost along a strand\b/i, "attenuation"],
  [/\blook(ing)? up, seen\b/i, "view from below"],
  [/\bneedle (points|shows)\b|\bmagnetic needle\b/i, "magnetic compass"],
  // a tape begins at a wall with a name; on a tile, which lies before one, edges are enough; rows and columns have an order
  [/(?<!(numbered|lettered|rows) )\bfrom the (left|right|bottom|top)\b(?! edge)/i, "from which wall"],
  // the program warns; people decide
  [
    /\b(safe(ly|st|r)?|compliant|compliance|compl(y|ies)|conform(s|ing)? to|harmless|guarantee[ds]?|fool-?proof|fire-?proof|risk-?free|no risk|up to code|to code)\b/i,
    "nothing of the kind",
  ],
  [/\bis (allowed|approved|certified|permitted|all right)\b/i, "who decides"],

  // what is typed has an x between; what is read has the sign
  [/\d x \d+(\.\d+)? (mm|in|cm)\b|\d x in\b/, "×"],
  [/\b(Ursa Maior|Canis Maior|Bootes)\b/, "the IAU's spelling"],
];

/** Names that files and keys have for other programs: they are no words for people. */
const CODES = new Set(["speaker", "lost", "stars lost", "given up", "figure-not-whole"]);
const SAID_RIGHTLY = [
  // what a record of the bench says of a strand, not of a star
  "src/record/",
  // what files of old held
  "src/job/migrations.ts",
  "src/app/parts/bench/",
];

describe("plain words, one for each thing", () => {
  const words = visibleWords().filter(
    ({ file, text }) => !CODES.has(text) && !SAID_RIGHTLY.some((begin) => file.startsWith(begin)),
  );

  test("the reader of the sources finds what is said", () => {
    expect(words.length).toBeGreaterThan(3000);
    const all = new Set(words.map(({ text }) => text));
    for (const said of ["Keyboard shortcuts", "View from below", "Future fitting", "Compare engines"])
      expect(all, said).toContain(said);
  });

  test.each(NOT_SAID)("nowhere %s (say: %s)", (bad) => {
    expect(words.filter(({ text }) => bad.test(text)).map(({ file, text }) => `${file}: ${text}`)).toEqual(
      [],
    );
  });

  test("nor on the first page", () => {
    const page = readFileSync("README.md", "utf8").replace(/```[^]*?```/g, "");
    expect(NOT_SAID.filter(([bad]) => bad.test(page)).map(([bad]) => String(bad))).toEqual([]);
  });
});

test("constellations are spelled as the International Astronomical Union spells them", () => {
  const { figures } = JSON.parse(readFileSync("catalog/figures.json", "utf8")) as {
    figures: { abbreviation: string; name: string }[];
  };
  const names = new Map(figures.map(({ abbreviation, name }) => [abbreviation, name]));
  expect(names.get("Boo")).toBe("Boötes");
  expect(names.get("CMa")).toBe("Canis Major");
  expect(names.get("UMa")).toBe("Ursa Major");
  // ordinary spaces, so that a typed name is found
  expect([...names.values()].filter((name) => /[^\p{L} ]/u.test(name))).toEqual([]);
});
