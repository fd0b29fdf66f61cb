import { execFileSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import sharp from "sharp";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { makeBundles } from "../../src/bundles/bundles.ts";
import type { Bundles } from "../../src/bundles/types.ts";
import type { JobInput } from "../../src/job/schema.ts";
import type { Planned } from "../../src/plan.ts";
import { engineOf } from "../../src/bundles/bundles.ts";
import { changesBetween } from "../../src/revision/changes.ts";
import { readTypeface } from "../../src/drawing/typeface.ts";
import { sheetContext } from "../../src/sheets/context.ts";
import { PackDocument } from "../../src/sheets/pack/document.ts";
import { drawSkyChart } from "../../src/sheets/skyChart.ts";
import { bundleFiles, orderFiles, packFiles } from "../../src/sheets/pack/files.ts";
import { makeSheets } from "../../src/sheets/files.ts";
import { runs } from "../../src/sheets/pack/words.ts";
import { LABEL_SHEETS } from "../../src/bundles/labelStock.ts";
import { labelCorner } from "../../src/sheets/labelSheets.ts";
import { paperByName } from "../../src/sheets/papers.ts";
import { paperFacts } from "../../src/sheets/laid.ts";
import { takeoffOf } from "../../src/takeoff/bundled.ts";
import { holesCsv } from "../../src/sheets/tables.ts";
import { solver } from "../bundles/support.ts";
import { fixturePlan, fonts } from "./fixture.ts";
import { readPdf } from "./readPdf.ts";

const folder = mkdtempSync(join(tmpdir(), "velarium-pack-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function engines(job: JobInput): void {
  job.ceiling.voidMm = 300;
  job.bundles = {
    engines: [
      { letter: "A", name: "cupboard", atMm: [-200, 1000], heightMm: 900, capacity: 800 },
      { letter: "B", name: "shelf", atMm: [4200, 400], heightMm: 2000, capacity: 800 },
      { letter: "C", atMm: [1500, 3450], capacity: 800 },
    ],
    twinkle: { kind: "channels", channels: 3 },
  };
  job.takeoff = { prices: { currency: "EUR", hour: 60, fabricPerM: 20, taxPercent: 19 } };
}

function bundled(change: (job: JobInput) => void = () => undefined): { plan: Planned; bundles: Bundles } {
  const plan = fixturePlan({
    perTile: 20,
    change: (job) => {
      engines(job);
      change(job);
    },
  });
  return { plan, bundles: makeBundles(plan, { solver }) };
}

/** Text of a PDF by poppler, page by page. */
function pagesOf(bytes: Uint8Array): string[] {
  const path = join(folder, "x.pdf");
  writeFileSync(path, bytes);
  const pages = execFileSync("pdftotext", ["-layout", path, "-"], { encoding: "utf8", maxBuffer: 1e8 }).split(
    "\f",
  );
  return pages.slice(0, -1);
}

const bytesOf = (files: { path: string; bytes: Uint8Array }[], path: string) =>
  files.find((file) => file.path === path)!.bytes;
const textOf = (files: { path: string; bytes: Uint8Array }[], path: string) =>
  new TextDecoder().decode(bytesOf(files, path));

describe("van and client pack, read back by poppler", () => {
  let plan: Planned;
  let bundles: Bundles;
  let van: string[];
  let client: string[];
  let files: { path: string; bytes: Uint8Array }[];
  beforeAll(async () => {
    ({ plan, bundles } = bundled());
    files = await packFiles(plan, bundles, takeoffOf(plan, bundles, paperFacts(plan)), { fonts });
    van = pagesOf(bytesOf(files, "van.pdf"));
    client = pagesOf(bytesOf(files, "client.pdf"));
  });

  test("every page has job, revision and its number", () => {
    for (const [pages, name] of [
      [van, "Van pack"],
      [client, "Client pack"],
    ] as const)
      // prettier-ignore
      pages.forEach((page, i) => {
        expect(page).toContain("Tasting room, upper floor");
        expect(page).toContain(`${name}, revision 3`);
        expect(page).toContain(`page ${i + 1} of ${pages.length}`);
      });
  });

  test("every tile with holes once on the bench, in the install list and in the index", () => {
    const tiles = [...new Set(plan.pattern.holes.map(({ tile }) => tile))];
    const section = (name: string) => van.filter((page) => page.search(`${name}(;|, page )`) >= 0).join("\n");
    for (const tile of tiles) {
      const own = plan.pattern.holes.filter((hole) => hole.tile === tile);
      const strands = own.reduce((sum, hole) => sum + hole.strands, 0);
      const head = `Tile ${tile}: ${own.length} holes, ${strands} strands$`;
      const heads = section("Bench list").match(new RegExp(head, "gm"));
      expect(heads, tile).toHaveLength(1);
      const row = new RegExp(`^ *${tile} `, "gm");
      expect(section("Install list").match(row), tile).toHaveLength(1);
      expect(section("Index of template sheets").match(row), tile).toHaveLength(1);
    }
  });

  test("every tail once in the bundle schedule and in the dark test, with its count", () => {
    const section = (name: string) => van.filter((page) => page.search(`${name}(;|, page )`) >= 0).join("\n");
    for (const { name, tile, lots } of bundles.tails) {
      const strands = lots.reduce((sum, { count }) => sum + count, 0);
      expect(
        section("Bundle schedule").match(new RegExp(`^ *${name} +${strands} `, "gm")),
        name,
      ).toHaveLength(1);
      expect(
        section("Dark-test list").match(new RegExp(`^ *${name} +${tile} +${strands}`, "gm")),
        name,
      ).toHaveLength(1);
    }
  });

  test("holes.csv, strands.csv, tails.csv, labels, bench counts and order agree", () => {
    const rows = (words: string) => words.trim().split("\r\n").slice(1).map((row) => row.split(",")); // prettier-ignore
    const holes = rows(holesCsv(plan, engineOf(bundles)));
    const strands = rows(textOf(files, "strands.csv"));
    // A row of strands.csv for each strand: as many to a hole as holes.csv says, all with its engine.
    const each = holes.flatMap((row) => new Array<string[]>(Number(row.at(-2))).fill([row[0]!, row.at(-1)!]));
    expect(strands.map((row) => [row[0], row[3]])).toEqual(each);
    expect(strands.length).toBeGreaterThan(plan.pattern.holes.length);
    const tails = rows(textOf(files, "tails.csv"));
    expect(tails.reduce((sum, row) => sum + Number(row[5]), 0)).toBe(strands.length);
    const bench = van.filter((page) => page.includes("Bench list, page ")).join("\n");
    const counts = [...bench.matchAll(/^ *(?:\d × )?[\d.]+ ?mm +[\d.]+ ?m +[ABC] +(?:.* )?(\d+)$/gm)].map(
      (m) => Number(m[1]),
    );
    expect(counts.reduce((sum, n) => sum + n, 0)).toBe(strands.length);
    const loose = [...bench.matchAll(/Tile \S+: (\d+) holes/g)].reduce((sum, m) => sum + Number(m[1]), 0);
    expect(loose).toBe(plan.pattern.holes.length);
    const ordered = takeoffOf(plan, bundles, paperFacts(plan)).order.filter(({ item }) => item === "strand");
    const used = ordered.reduce((sum, { source }) => sum + Number(/^(\d+) used/.exec(source)![1]), 0);
    expect(used).toBe(strands.length);
    const labels = rows(textOf(files, "labels.csv"));
    const ofKind = (end: string) => labels.filter(([kind]) => kind === end);
    expect([ofKind("tile end").length, ofKind("engine end").length]).toEqual([
      bundles.tails.length,
      bundles.tails.length,
    ]);
    const covered = plan.ceiling.tiles.filter(({ use }) => use !== "plain");
    expect(ofKind("tile").map(([, name]) => name)).toEqual(covered.map(({ name }) => name));
    expect(new Set(ofKind("spare").map(([, name]) => name))).toEqual(
      new Set(plan.pattern.holes.map((h) => h.tile)),
    );
  });

  test("the register names every zone, and leaves nobody out who has to agree", () => {
    const page = van.find((words) => words.includes("No-go register, page "))!;
    expect(page).toMatch(/1 +sprinkler/);
    expect(page).toMatch(/2 +luminaire: pendant/);
    expect(page).toContain("NOT KNOWN");
  });

  test("the client's map, what to do before lifting, care and record are there; no page says ok, safe or compliant", () => {
    const all = client.join("\n");
    for (const words of ["View from below", "Before you lift a tile", "Care", "Service record"])
      expect(all).toContain(words);
    expect(`${all}\n${van.join("\n")}`).not.toMatch(/\b(ok|okay|safe|compliant)\b/i);
  });

  test("cautions that fit the job, once each", () => {
    const all = van.filter((page) => page.includes("Cautions for this job, page ")).join("\n");
    expect(all.match(/Sprinkler heads/g)).toHaveLength(1);
    expect(all.match(/Does the void carry return air\?/g)).toHaveLength(1);
  });

  test("the same plan gives the same bytes", async () => {
    const again = await packFiles(plan, bundles, takeoffOf(plan, bundles, paperFacts(plan)), { fonts });
    for (const file of files)
      expect(Buffer.compare(Buffer.from(bytesOf(again, file.path)), Buffer.from(file.bytes))).toBe(0);
  }, 30_000);
});

describe("labels", () => {
  test.each(LABEL_SHEETS.map((s) => [s.name, s] as const))(
    "%s lie on the paper, apart from one another",
    (_, s) => {
      const paper = paperByName(s.paper);
      const corners = Array.from({ length: s.columns * s.rows }, (__, place) => labelCorner(s, place));
      corners.forEach(([x, y], i) => {
        expect(x).toBeGreaterThan(-0.01);
        expect(y).toBeGreaterThan(-0.01);
        expect(x + s.labelMm[0]).toBeLessThanOrEqual(paper.widthMm + 0.01);
        expect(y + s.labelMm[1]).toBeLessThanOrEqual(paper.heightMm! + 0.51); // 70 x 37: 8 x 37 = 296 of 297
        for (const [u, v] of corners.slice(i + 1))
          expect(Math.abs(u - x) >= s.labelMm[0] - 1e-6 || Math.abs(v - y) >= s.labelMm[1] - 1e-6).toBe(true);
      });
    },
  );

  test("2 5/8 x 1 in: side margin 3/16 in, top margin 1/2 in, as such sheets are cut (from memory)", () => {
    const s = LABEL_SHEETS.find(({ name }) => name.startsWith("2 5/8"))!;
    const [x, y] = labelCorner(s, 0);
    expect(x / 25.4).toBeCloseTo(3 / 16, 6);
    expect(11 - (y / 25.4 + 1)).toBeCloseTo(1 / 2, 6);
  });

  test("both ends of every tail, and used places are left free", async () => {
    const { plan, bundles } = bundled((job) => {
      job.bundles!.labels = { sheet: "A4-cut", skip: 5 };
    });
    const files = await bundleFiles(plan, bundles, { fonts });
    const pages = pagesOf(bytesOf(files, "labels.pdf"));
    const tiles = new Set(plan.pattern.holes.map(({ tile }) => tile)).size;
    const covered = plan.ceiling.tiles.filter(({ use }) => use !== "plain").length;
    expect(pages).toHaveLength(Math.ceil((2 * bundles.tails.length + covered + tiles + 5) / 24));
    const all = pages.join("\n");
    expect(all.match(/TILE END/g)).toHaveLength(bundles.tails.length);
    expect(all.match(/ENGINE END/g)).toHaveLength(bundles.tails.length);
    expect(
      takeoffOf(plan, bundles, paperFacts(plan)).order.find(({ item }) => item === "label sheets")!.quantity,
    ).toBe(pages.length);
  });

  test("an unknown sheet is refused with the list", async () => {
    const { plan, bundles } = bundled((job) => {
      job.bundles!.labels = { sheet: "the usual ones" };
    });
    await expect(bundleFiles(plan, bundles, { fonts })).rejects.toThrow(/63.5 × 38.1 mm/);
  });
});

/** Red on white, four times as wide as high. */
const logo = async (): Promise<string> => {
  const picture = sharp({ create: { width: 800, height: 200, channels: 3, background: "#b03020" } });
  return `data:image/jpeg;base64,${(await picture.jpeg().toBuffer()).toString("base64")}`;
};

describe("order and quote", () => {
  test("the firm's logo stands on quote and client pack in its own shape, and on nothing a van carries", async () => {
    const firmLogo = await logo();
    const { plan, bundles } = bundled((job) => Object.assign(job, { firmLogo }));
    const takeoff = takeoffOf(plan, bundles, paperFacts(plan));
    const files = [...(await orderFiles(plan, bundles, takeoff, { fonts })), ...(await packFiles(plan, bundles, takeoff, { fonts }))]; // prettier-ignore
    const sizes = ["quote.pdf", "client.pdf", "van.pdf"].map((path) => {
      writeFileSync(join(folder, path), bytesOf(files, path));
      const listed = execFileSync("pdfimages", ["-list", join(folder, path)], { encoding: "utf8" });
      const found = listed.split("\n").filter((line) => / 800 +200 /.test(line));
      return found.map((line) => line.trim().split(/\s+/).slice(12, 14).map(Number));
    });
    expect(sizes[2]).toEqual([]);
    for (const path of sizes.slice(0, 2)) {
      // poppler: the same dots to the inch both ways, 60 mm wide
      expect(path).toHaveLength(1);
      expect(path[0]![0]).toBe(path[0]![1]);
      expect((800 / path[0]![0]!) * 25.4).toBeCloseTo(60, -1);
    }
  });

  test("the quote's sums stand on the page as in the CSV; every blank is in the cut plan", async () => {
    const { plan, bundles } = bundled();
    const files = await orderFiles(plan, bundles, takeoffOf(plan, bundles, paperFacts(plan)), { fonts });
    const page = pagesOf(bytesOf(files, "quote.pdf"))
      .join("\n")
      .replace(/\u00A0/g, " ");
    // the last field, in quotes where the sum has a comma
    const [, last] = /("[^"]+"|[^,]+)$/
      .exec(textOf(files, "quote.csv").trim())!
      .map((field) => field.replace(/"/g, ""));
    expect(last).toMatch(/\d[\d, ]*\.\d\d$/);
    expect(page).toContain(last);
    const svg = textOf(files, "cut-plan.svg");
    const covered = plan.ceiling.tiles.filter(({ use }) => use !== "plain");
    for (const { name } of covered)
      expect(svg.match(new RegExp(`>${name}</text>`, "g")), name).toHaveLength(1);
    const [, width] = /width="([\d.]+)mm"/.exec(svg)!;
    expect(Number(width)).toBe(plan.job.takeoff.fabric.rollWidthMm);
  });
});

test("hostile names reach pages and tables as plain words", async () => {
  const evil = '=HYPERLINK("http://x")\u202E\u0000<script>alert(1)</script>';
  const { plan, bundles } = bundled((job) => {
    job.title = evil;
    job.client = "\n\n+1+1";
    job.bundles!.engines![0]!.name = evil;
    job.bundles!.obstacles = [{ name: evil, polygonMm: [[600, 600], [700, 600], [700, 700], [600, 700]] }]; // prettier-ignore
    job.takeoff!.fabric = { name: evil };
    job.ceiling.noGo![0]!.owner = evil;
  });
  const files = [
    ...(await packFiles(plan, bundles, takeoffOf(plan, bundles, paperFacts(plan)), { fonts })),
    ...(await orderFiles(plan, bundles, takeoffOf(plan, bundles, paperFacts(plan)), { fonts })),
  ];
  for (const { path, bytes } of files) {
    if (path.endsWith(".pdf")) expect(pagesOf(bytes).length, path).toBeGreaterThan(0);
    else {
      const words = new TextDecoder().decode(bytes);
      // eslint-disable-next-line no-control-regex -- that is what must not be there
      expect(words, path).not.toMatch(/[\u0000\u202E]/);
      if (path.endsWith(".svg")) expect(words, path).not.toContain("<script>");
      if (path.endsWith(".csv")) expect(words, path).not.toMatch(/(^|,)"?=HYPERLINK/m);
    }
  }
}, 30_000);

test("the sky of a hall with 150,000 holes goes on one page", () => {
  const plan = fixturePlan({ perTile: 20 });
  const filler = plan.pattern.holes.find(({ kind }) => kind === "filler")!;
  const holes = Array.from({ length: 150_000 }, () => filler);
  const context = sheetContext({ ...plan, pattern: { ...plan.pattern, holes } }, readTypeface(fonts));
  const doc = new PackDocument(context, "Client pack");
  doc.section("Your sky");
  doc.addAll(drawSkyChart(context, [], doc.room()));
  expect(doc.finish()[0]!.drawing.items.length).toBeGreaterThan(150_000);
});

describe("changes", () => {
  const before = bundled();

  test("nothing changed: no revision, nothing stale", () => {
    const changes = changesBetween(before, bundled());
    expect(changes).toMatchObject({ revision: 3, notRaised: false, tiles: [], general: [], stale: [] });
  });

  test("one hole moved: that tile, its templates, the packs; the revision goes up", () => {
    const after = structuredClone(before);
    const hole = after.plan.pattern.holes[40]!;
    hole.xMm += 0.5;
    const changes = changesBetween(before, after);
    expect(changes.tiles).toEqual([{ tile: hole.tile, why: ["holes"] }]);
    expect(changes).toMatchObject({ revision: 4, notRaised: true });
    expect(changes.stale[0]).toBe(`sheets/templates-back.pdf: pages of ${hole.tile}`);
    expect(changes.stale.join()).not.toContain("labels.pdf");
    expect(changes.stale).toContain(`van.pdf (of its bench list: only ${hole.tile})`);
  });

  test("a tile given to another engine: strands and engine of that tile, labels stale", () => {
    const tail = before.bundles.tails.find(({ engine }) => engine === "A")!;
    const after = bundled((job) => {
      job.bundles!.fixed = { [tail.tile]: "C" };
    });
    const changes = changesBetween(before, after);
    expect(changes.tiles.find(({ tile }) => tile === tail.tile)!.why).toContain("engine");
    expect(changes.general).toEqual(["engines and void"]);
    expect(changes.stale.find((words) => words.startsWith("labels.pdf"))).toContain(tail.tile);
  });

  test("another title: every page; another wall name too", () => {
    const after = bundled((job) => {
      job.title = "Another";
    });
    expect(changesBetween(before, after).stale[0]).toBe("sheets/templates-back.pdf: every page");
  });

  test("the pack says so on a page of its own", async () => {
    const after = structuredClone(before);
    after.plan.pattern.holes[40]!.xMm += 0.5;
    const changes = changesBetween(before, after);
    const files = await packFiles(
      after.plan,
      after.bundles,
      takeoffOf(after.plan, after.bundles, paperFacts(after.plan)),
      {
        fonts,
        changes,
      },
    );
    const page = pagesOf(bytesOf(files, "van.pdf")).find((words) =>
      words.includes("Changes since revision 3"),
    )!;
    expect(page).toContain("write revision 4");
    expect(page).toContain(after.plan.pattern.holes[40]!.tile);
  });
});

test("hole numbers in runs", () => {
  expect(runs([5, 1, 2, 3, 9, 10])).toBe("1\u20133, 5, 9\u201310");
  expect(runs([])).toBe("");
});

/** Seven points, the least that ISO 3098's smallest lettering (2.5 mm nominal) and a reader at arm's length ask for. */
const LEAST_MM = (7 * 25.4) / 72;

test("no print on any paper is smaller than 7 points; hole numbers have figures 4 mm high, above the 3.5 of ISO 3098-1", async () => {
  const { plan, bundles } = bundled((job) => {
    job.units = "ft-in";
  });
  const takeoff = takeoffOf(plan, bundles, paperFacts(plan));
  const files = [
    ...(await packFiles(plan, bundles, takeoff, { fonts })),
    ...(await orderFiles(plan, bundles, takeoff, { fonts })),
    ...(await makeSheets(plan, { fonts, tiles: ["C4"] })),
  ].filter(({ path }) => path.endsWith(".pdf"));
  expect(files.length).toBeGreaterThan(4);
  for (const { path, bytes } of files)
    for (const { texts } of readPdf(bytes))
      for (const { words, sizeMm } of texts) expect(sizeMm, `${path}: ${words}`).toBeGreaterThan(LEAST_MM);
  const capHeightOverEm = 1493 / 2048; // OS/2 sCapHeight of DejaVu Sans
  const [sheet] = readPdf(bytesOf(files, "sheets/templates-back.pdf"));
  const numbers = sheet!.texts.filter(({ words }) => /^\d+f?$/.test(words) && !words.endsWith("0"));
  expect(Math.max(...numbers.map(({ sizeMm }) => sizeMm)) * capHeightOverEm).toBeGreaterThan(4.05);
}, 60_000);
