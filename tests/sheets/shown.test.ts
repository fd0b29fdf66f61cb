import { execFileSync } from "node:child_process";
import { readFile } from "node:fs/promises";
import sharp from "sharp";
import { describe, expect, test } from "vitest";
import { checkJob } from "../../src/check.ts";
import { dateWords } from "../../src/job/writtenTime.ts";
import { nightFacts } from "../../src/choose/facts.ts";
import { lostWords } from "../../src/choose/words.ts";
import { loadCatalog } from "../../src/cli/catalogFiles.ts";
import { loadBoardFonts, loadFonts } from "../../src/cli/fonts.ts";
import { planJob } from "../../src/work/planJob.ts";
import { BOARD_FORMATS, boardPictureAspect, type BoardFormat } from "../../src/sheets/board.ts";
import { paperByName } from "../../src/sheets/papers.ts";
import { makeBoard, makeSkySheet } from "../../src/sheets/shown.ts";
import { withFile } from "./readPdf.ts";
import { quick } from "../quick.ts";

const MM_PER_POINT = 25.4 / 72;
const catalog = await loadCatalog();
const { job } = checkJob(
  await readFile(new URL("../../demo/harbour-dining-room.velarium.json", import.meta.url)),
);
const plan = planJob(job, catalog);
const fonts = await loadFonts();

const tool = (bytes: Uint8Array, command: string, args: (path: string) => string[]): string =>
  withFile("page.pdf", bytes, (path) =>
    execFileSync(command, args(path), {
      encoding: "utf8",
      maxBuffer: 2 ** 28,
      stdio: ["ignore", "pipe", "ignore"],
    }),
  );
const words = (bytes: Uint8Array): string => tool(bytes, "pdftotext", (path) => ["-layout", path, "-"]);

/** Page size in mm and every word's box, by poppler. */
function boxes(bytes: Uint8Array, only?: number) {
  const pick = only === undefined ? [] : ["-f", String(only), "-l", String(only)];
  const html = tool(bytes, "pdftotext", (path) => ["-bbox", ...pick, path, "-"]);
  const pages = [...html.matchAll(/<page width="([\d.]+)" height="([\d.]+)"/g)];
  const found = [
    ...html.matchAll(/<word xMin="([\d.-]+)" yMin="([\d.-]+)" xMax="([\d.-]+)" yMax="([\d.-]+)">([^<]*)</g),
  ];
  return {
    pages: pages.length,
    widthMm: Number(pages[0]![1]) * MM_PER_POINT,
    heightMm: Number(pages[0]![2]) * MM_PER_POINT,
    words: found.map((m) => {
      const [x0, y0, x1, y1] = [1, 2, 3, 4].map((i) => Number(m[i]) * MM_PER_POINT) as [
        number,
        number,
        number,
        number,
      ];
      return { x0, y0, x1, y1, text: m[5]! };
    }),
  };
}

/** Filled circles of a colour ("1 1 1") as MuPDF sees them, mm from the lower left corner of the sheet. */
function circles(bytes: Uint8Array, colour: string): { x: number; y: number; radiusMm: number }[] {
  const trace = tool(bytes, "mutool", (path) => ["draw", "-q", "-F", "trace", "-o", "-", path]);
  const height = Number(/mediabox="[\d.-]+ [\d.-]+ [\d.-]+ ([\d.]+)"/.exec(trace)![1]);
  const found: { x: number; y: number; radiusMm: number }[] = [];
  for (const [, head, body] of trace.matchAll(/<fill_path ([^>]*)>([\s\S]*?)<\/fill_path>/g)) {
    if (!head!.includes(`color="${colour}"`) || !body!.includes("curveto")) continue;
    const [a, , , d, e, f] = /transform="([^"]*)"/.exec(head!)![1]!.split(" ").map(Number) as number[];
    const xs = [...body!.matchAll(/(?: x|x[123])="([\d.-]+)"/g)].map((m) => Number(m[1]) * a! + e!);
    const ys = [...body!.matchAll(/(?: y|y[123])="([\d.-]+)"/g)].map((m) => Number(m[1]) * d! + f!);
    const [x0, x1, y0, y1] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
    found.push({
      x: ((x0 + x1) / 2) * MM_PER_POINT,
      y: (height - (y0 + y1) / 2) * MM_PER_POINT,
      radiusMm: ((x1 - x0) / 2) * MM_PER_POINT,
    });
  }
  return found;
}

describe("the sky sheet", async () => {
  const bytes = await makeSkySheet(plan, catalog.figures, paperByName("A4"), fonts);
  const page = boxes(bytes);
  test("is one A4 page (ISO 216: 210 x 297 mm), every word inside it", () => {
    expect(page.pages).toBe(1);
    expect(page.widthMm).toBeCloseTo(210, 1);
    expect(page.heightMm).toBeCloseTo(297, 1);
    for (const { x0, y0, x1, y1, text } of page.words) {
      quick(x0, text).toBeGreaterThan(5);
      quick(y0, text).toBeGreaterThan(5);
      quick(x1, text).toBeLessThan(205);
      quick(y1, text).toBeLessThan(292);
    }
  });
  test("says what is signed for: place, date, zone, UTC, revision, what a change costs, where to sign", () => {
    const text = words(bytes).replace(/\s+/g, " ");
    const tiles = new Set(plan.pattern.holes.map((h) => h.tile)).size;
    expect(text).toContain("Lunenburg, Nova Scotia");
    expect(text).toContain("8 September 2029");
    expect(text).toContain("America/Halifax");
    // Halifax keeps UTC-3 in September (IANA tz database), so 22:00 is 01:00 of the next day
    expect(text).toContain("9 September 2029, 01:00");
    expect(text).toContain("revision 1");
    expect(text).toContain(
      `A change of date, time, place or view after signing means new templates for ${tiles} tiles.`,
    );
    expect(text).toMatch(/For the client.*For the installer|For the client/);
    expect(text).toContain("With north up, east is on the LEFT");
    for (const wall of job.ceiling.walls) expect(text).toContain(wall);
    expect(text).not.toMatch(/\b(ok|safe|compliant)\b/i);
  });
  test("lists the brightest stars and the lost ones", () => {
    const text = words(bytes);
    for (const name of ["Vega", "Altair", "Deneb"]) expect(text).toContain(name);
    const lost = plan.pattern.lost.filter(
      (s) => s.reason !== "merged" && s.magnitude <= 3.3 && s.name !== "",
    );
    expect(lost.length).toBeGreaterThan(0);
    for (const star of lost) expect(text).toContain(star.name);
  });
  test("its stars stand where the holes are, mirrored: measured by MuPDF", () => {
    const dots = circles(bytes, "1 1 1");
    const real = plan.pattern.holes.filter((h) => h.kind === "star");
    expect(dots.length).toBe(real.length);
    // Scale and place from the two extreme stars, then every star; x runs the other way: looking up.
    const byX = [...real].sort((a, b) => a.xMm - b.xMm);
    const [west, east] = [byX[0]!, byX[byX.length - 1]!];
    const xs = dots.map((d) => d.x);
    const scale = (Math.max(...xs) - Math.min(...xs)) / (east.xMm - west.xMm);
    const right = Math.max(...xs) + west.xMm * scale;
    const byY = [...real].sort((a, b) => a.yMm - b.yMm);
    const low = Math.min(...dots.map((d) => d.y)) - byY[0]!.yMm * scale;
    const cells = new Map<string, typeof dots>();
    const key = (x: number, y: number): string => `${Math.round(x)},${Math.round(y)}`;
    for (const dot of dots) cells.set(key(dot.x, dot.y), [...(cells.get(key(dot.x, dot.y)) ?? []), dot]);
    for (const hole of real) {
      const [x, y] = [right - hole.xMm * scale, low + hole.yMm * scale];
      let nearest = Infinity;
      for (const dx of [-1, 0, 1])
        for (const dy of [-1, 0, 1])
          for (const dot of cells.get(key(x + dx, y + dy)) ?? [])
            nearest = Math.min(nearest, Math.hypot(dot.x - x, dot.y - y));
      quick(nearest, `hole ${hole.id}`).toBeLessThan(0.05);
    }
  });
  test("Vega, Deneb and Altair turn the way they do in the sky: looking up, counter-clockwise by that order", () => {
    // Any star chart, north up and east left: Vega is west (right) of Deneb, Altair south (below) of both.
    const at = (star: number): [number, number] => {
      const hole = plan.pattern.holes.find((h) => h.star === star)!;
      return [-hole.xMm, hole.yMm];
    };
    const [v, d, a] = [at(91262), at(102098), at(97649)];
    const turn = (d[0] - v[0]) * (a[1] - v[1]) - (d[1] - v[1]) * (a[0] - v[0]);
    expect(turn).toBeGreaterThan(0);
    const label = (name: string) => page.words.find((w) => w.text === name && w.y0 < 180)!;
    const [lv, ld, la] = [label("Vega"), label("Deneb"), label("Altair")];
    const onPage = (ld.x0 - lv.x0) * -(la.y0 - lv.y0) - -(ld.y0 - lv.y0) * (la.x0 - lv.x0);
    expect(onPage).toBeGreaterThan(0);
  });
  test("fits Letter and A3, and gives the same bytes again", async () => {
    for (const name of ["Letter", "A3"]) {
      const paper = paperByName(name);
      const read = boxes(await makeSkySheet(plan, catalog.figures, paper, fonts));
      expect(read.pages).toBe(1);
      expect(read.widthMm).toBeCloseTo(paper.widthMm, 1);
      for (const { x1, y1 } of read.words) {
        quick(x1).toBeLessThan(paper.widthMm - 5);
        quick(y1).toBeLessThan(paper.heightMm! - 5);
      }
    }
    expect(await makeSkySheet(plan, catalog.figures, paperByName("A4"), fonts)).toEqual(bytes);
  });
  test("hostile and foreign words are printed, not obeyed", async () => {
    const hostile = {
      ...plan,
      job: { ...job, title: `<script>alert(1)</script> (a) \\ Łódź`, client: "a\u202Eb\u0007" },
    };
    const text = words(await makeSkySheet(hostile, catalog.figures, paperByName("A4"), fonts));
    expect(text).toContain("<script>alert(1)</script>");
    expect(text).toContain("Łódź");
    expect(text).not.toContain("\u202E");
  });
});

describe("the board", async () => {
  const boardFonts = await loadBoardFonts();
  const facts = job.sky.options.map((o) =>
    nightFacts(planJob({ ...job, sky: { ...job.sky, chosen: o.id } }, catalog), catalog),
  );
  test("tells bright stars lost to fittings apart from those left out by hand", () => {
    // The demo leaves Kornephoros out by hand, and says so itself (pattern.byHand).
    const [first] = facts;
    expect(first!.omittedBright.map((s) => s.name)).toEqual(["Kornephoros"]);
    expect(lostWords(first!)).toBe("none of magnitude 3 or brighter; left out by hand: Kornephoros");
    // Seen a little higher, θ Aurigae of the winter sky lies over the tile that can't come down.
    const options = job.sky.options.map((o) => ({
      ...o,
      view: { ...o.view, azimuthDeg: 170, altitudeDeg: 55 },
    }));
    const winter = nightFacts(planJob({ ...job, sky: { chosen: "winter", options } }, catalog), catalog);
    expect(winter.lostBright.map((s) => s.name)).toEqual(["Mahasim"]);
    expect(lostWords(winter)).toBe("Mahasim");
  });

  const picture = new Uint8Array(
    await sharp({ create: { width: 300, height: 200, channels: 3, background: "#203040" } })
      .png()
      .toBuffer(),
  );
  const board = (count: number, format: BoardFormat) =>
    makeBoard({
      nights: Array.from({ length: count }, (_, i) => ({ facts: facts[i % facts.length]!, picture })),
      words: { title: job.title, who: "client · room", view: "Seen from: middle", revision: 3, units: "mm" },
      format,
      fonts: boardFonts,
      pictureAspect: 1.5,
    });
  const cases: [number, BoardFormat][] = [
    [2, "A3"],
    [3, "A3"],
    [4, "A3"],
    [2, "16:9"],
    [3, "16:9"],
    [4, "16:9"],
  ];
  test.each(cases)(
    "%i nights on %s: a page of that size for each, every word inside, none over another",
    async (count, format) => {
      const { pdf } = await board(count, format);
      const size = BOARD_FORMATS[format];
      expect(boxes(pdf).pages).toBe(count);
      for (let n = 1; n <= count; n++) {
        const page = boxes(pdf, n);
        expect(page.words.length).toBeGreaterThan(60);
        expect(page.widthMm).toBeCloseTo(size.widthMm, 1);
        expect(page.heightMm).toBeCloseTo(size.heightMm, 1);
        for (const { x0, y0, x1, y1, text } of page.words) {
          quick(x0, text).toBeGreaterThan(5);
          quick(x1, text).toBeLessThan(size.widthMm - 5);
          quick(y0, text).toBeGreaterThan(5);
          quick(y1, text).toBeLessThan(size.heightMm - 5);
        }
        // no two words over one another
        page.words.forEach((a, i) => {
          for (const b of page.words.slice(i + 1)) {
            const w = Math.min(a.x1, b.x1) - Math.max(a.x0, b.x0);
            const h = Math.min(a.y1, b.y1) - Math.max(a.y0, b.y0);
            quick(w > 0.2 && h > 1.2, `${a.text} / ${b.text}`).toBe(false);
          }
        });
      }
      const images = tool(pdf, "pdfimages", (path) => ["-list", path])
        .trim()
        .split("\n")
        .slice(2);
      expect(images.length).toBe(count);
    },
  );
  test("tells the facts that decide", async () => {
    const text = words((await board(3, "A3")).pdf).replace(/\s+/g, " ");
    for (const f of facts) expect(text).toContain(dateWords(f.localIso, f.zone));
    expect(text).toContain("Orion");
    expect(text).toContain("Saturn");
    expect(text).toContain("revision 3");
    // what a client asks before what an installer asks; where the figures stand in words
    expect(text).toMatch(/over the \S+ wall|overhead/);
    expect(text.indexOf("Constellations")).toBeLessThan(text.indexOf("Strands"));
    // how like the sky the ceiling is, before what an installer asks
    const { leading, likeness } = plan.pattern.fidelity;
    expect(text).toContain(
      `Of the sky's 10, 20, 30 brightest, ${leading.map((l) => l.among.toFixed(1)).join(", ")}`,
    );
    expect(text).toContain(`${likeness.edgeExcess.toFixed(1)} times the stars that chance puts there`);
    expect(text).toContain(`Neighbours ${likeness.nearestNeighbour.toFixed(2)} times as far apart`);
    expect(text.indexOf("Brightest")).toBeLessThan(text.indexOf("Punching"));
    // FACTS.pokeHolesPerH, common practice, no source: 60 to 120 holes an hour: 1405 holes are 12 to 23 hours
    expect(facts[0]!.holes).toBe(plan.pattern.holes.length);
    expect(text).toContain("12 to 23 hours");
    expect(text).not.toMatch(/\b(ok|safe|compliant)\b/i);
  });
  test("names over its pictures stand inside them", async () => {
    const at = (x: number, y: number): [number, number] => [x, y];
    const marks = {
      names: [
        { text: "Vega", at: at(0.5, 0.5) },
        { text: "Arcturus", at: at(0.99, 0.9) },
      ],
      lines: [[at(0.2, 0.2), at(0.6, 0.4)] as const],
    };
    const nights = facts.slice(0, 2).map((f) => ({ facts: f, picture, marks }));
    const words = { title: job.title, who: "", view: "", revision: 1, units: "mm" as const };
    const { pdf } = await makeBoard({ nights, words, format: "16:9", fonts: boardFonts, pictureAspect: 1.6 });
    for (const n of [1, 2]) {
      const page = boxes(pdf, n);
      const [margin, gap, factsWide] = [11, 7, 78];
      const found = page.words.filter((w) => w.text === "Vega" || w.text === "Arcturus");
      expect(found.length).toBe(2);
      for (const { x0, x1, text } of found) {
        quick(x0, text).toBeGreaterThan(margin);
        quick(x1, text).toBeLessThan(page.widthMm - margin - factsWide - gap);
      }
    }
  });
  test("its pictures have the ceiling's shape", () => {
    expect(boardPictureAspect(1.31)).toBe(1.31);
    expect(boardPictureAspect(0.8)).toBe(1.2);
    expect(boardPictureAspect(3)).toBe(1.78);
  });
  test("16:9 is 16:9", () => {
    expect(BOARD_FORMATS["16:9"].widthMm / BOARD_FORMATS["16:9"].heightMm).toBeCloseTo(16 / 9, 4);
    expect(BOARD_FORMATS.A3).toEqual({ widthMm: 420, heightMm: 297 });
  });
  test("its picture holds no word that a machine without the fonts could draw otherwise", async () => {
    const { svgs } = await board(2, "16:9");
    expect(svgs.length).toBe(2);
    for (const svg of svgs) {
      expect(svg).not.toContain("<text");
      expect(svg.match(/<image /g)?.length).toBe(1);
    }
  });
});
