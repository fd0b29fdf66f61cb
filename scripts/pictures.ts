// The pictures of the README from the demo's finished PDFs: npm run demo && npx tsx scripts/pictures.ts
import { execFileSync } from "node:child_process";
import { mkdirSync } from "node:fs";

const PACK = "out/demo/sheets";
const PICTURES = "demo/pictures";

/** First page of a PDF that names both words. */
function pageWith(pdf: string, ...words: string[]): number {
  const pages = execFileSync("pdftotext", ["-layout", pdf, "-"], { encoding: "utf8", maxBuffer: 1e9 }).split(
    "\f",
  );
  const index = pages.findIndex((page) => words.every((word) => page.includes(word)));
  if (index < 0) throw new Error(`${pdf} has no page with ${words.join(" and ")}`);
  return index + 1;
}

function picture(pdf: string, page: number, dpi: number, name: string): void {
  const range = ["-f", String(page), "-l", String(page)];
  execFileSync("pdftoppm", ["-png", "-singlefile", "-r", String(dpi), ...range, pdf, `${PICTURES}/${name}`]);
}

mkdirSync(PICTURES, { recursive: true });
picture(`${PACK}/overview.pdf`, 1, 90, "plan");
for (const side of ["back", "face"]) {
  const pdf = `${PACK}/${side === "back" ? "templates" : "check"}-${side}.pdf`;
  picture(pdf, pageWith(pdf, "Vega", "D4"), 60, `tile-${side}`);
}
