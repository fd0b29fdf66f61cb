// The pictures of the README, from the demo: npm run demo && npx tsx scripts/pictures.ts
import { execFileSync } from "node:child_process";
import { mkdirSync, rmSync } from "node:fs";
import sharp from "sharp";
import { main } from "../src/cli/program.ts";

const JOB = "demo/harbour-dining-room.velarium.json";
const PACK = "out/demo/sheets";
const BOARD = "out/demo-board";
const SCENE = "out/demo-scene.png";
const PICTURES = "demo/pictures";
/** Pictures are for a page on a screen: so wide, in so many colours. */
const WIDTH_PX = 1100;
const COLOURS = 96;

/** First page of a PDF that names both words. */
function pageWith(pdf: string, ...words: string[]): number {
  const pages = execFileSync("pdftotext", ["-layout", pdf, "-"], { encoding: "utf8", maxBuffer: 1e9 }).split(
    "\f",
  );
  const index = pages.findIndex((page) => words.every((word) => page.includes(word)));
  if (index < 0) throw new Error(`${pdf} has no page with ${words.join(" and ")}`);
  return index + 1;
}

function pageOf(pdf: string, page: number, dpi: number): Buffer {
  const range = ["-f", String(page), "-l", String(page)];
  return execFileSync("pdftoppm", ["-png", "-r", String(dpi), ...range, pdf], { maxBuffer: 1e9 });
}

async function keep(png: Buffer, name: string): Promise<void> {
  await sharp(png)
    .resize({ width: WIDTH_PX, withoutEnlargement: true })
    .png({ palette: true, colours: COLOURS, effort: 10 })
    .toFile(`${PICTURES}/${name}.png`);
}

mkdirSync(PICTURES, { recursive: true });
await keep(pageOf(`${PACK}/overview.pdf`, 1, 90), "plan");
for (const side of ["back", "face"]) {
  const pdf = `${PACK}/${side === "back" ? "templates" : "check"}-${side}.pdf`;
  await keep(pageOf(pdf, pageWith(pdf, "Vega", "D4"), 60), `tile-${side}`);
}
rmSync(SCENE, { force: true });
await main(["scene", JOB, "--night", "winter", "--seat", "2600,3600,1200", "--size", "1600x1000", "--out", SCENE]); // prettier-ignore
// points on black: as JPEG a quarter of the size
await sharp(SCENE)
  .resize({ width: WIDTH_PX })
  .jpeg({ quality: 88, mozjpeg: true })
  .toFile(`${PICTURES}/dark.jpg`);
await main(["board", JOB, "--nights", "reopening,winter", "--out", BOARD, "--replace"]);
await keep(pageOf(`${BOARD}/board-16x9.pdf`, 2, 110), "board");
