import { spawnSync } from "node:child_process";
import { mkdtempSync, readdirSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import jsqr from "jsqr";
import sharp from "sharp";
import { expect, test } from "vitest";
import { readLabelCode } from "../../src/bundles/labelCode.ts";
import { labelSheetOf, LABEL_SHEETS } from "../../src/bundles/labelStock.ts";
import { labelCorner } from "../../src/sheets/labelSheets.ts";
import { paperByName } from "../../src/sheets/papers.ts";
import { choose } from "../../src/work/stage.ts";
import { demo, work, workedOut } from "../issue/support.ts";
import { withFile } from "./readPdf.ts";

// CommonJS: what is imported may be the module itself
const read = (jsqr as unknown as { default?: typeof jsqr }).default ?? jsqr;

/** What a phone's camera makes of a label a hand's breadth away is finer; office printers are not. */
const DPI = 300;

/*
 * Codes are made by uqr and read by jsQR, which share no code (ISO/IEC 18004 stands between them), from the printed page
 * as poppler draws it.
 */
/** The usual one, the smallest labels, one in inches; all eight were tried once. */
const TRIED = [0, 3, 4].map((i) => LABEL_SHEETS[i]!.code);

test.each(TRIED)(
  "labels on %s: their codes are read off the page by another library",
  { timeout: 120_000 },
  async (code) => {
    const sheet = labelSheetOf(code);
    const job = { ...demo, bundles: { ...demo.bundles, labels: { ...demo.bundles.labels, sheet: code } } };
    const files = await work.print(choose(job), "bundleFiles", { only: "labels.pdf" });
    const { bundles } = await workedOut(job);
    const folder = mkdtempSync(join(tmpdir(), "velarium-labels-"));
    try {
      withFile(
        "labels.pdf",
        files[0]!.bytes,
        (path) =>
        expect(spawnSync("pdftoppm", ["-r", String(DPI), "-f", "1", "-l", "1", "-png", path, join(folder, "page")]).status).toBe(0), // prettier-ignore
      );
      const image = sharp(join(folder, readdirSync(folder)[0]!));
      const px = (mm: number) => Math.round((mm / 25.4) * DPI);
      const height = paperByName(sheet.paper).heightMm!;
      for (const place of [0, 1, sheet.columns * sheet.rows - 1]) {
        const [x, y] = labelCorner(sheet, place);
        const [width, tall] = sheet.labelMm;
        const { data, info } = await image
          .clone()
          .extract({ left: px(x), top: px(height - y - tall), width: px(width), height: px(tall) })
          .ensureAlpha()
          .toColourspace("srgb")
          .raw()
          .toBuffer({ resolveWithObject: true });
        const found = read(new Uint8ClampedArray(data), info.width, info.height);
        const tail = bundles.tails[Math.floor(place / 2)]!;
        expect(found && readLabelCode(found.data), `label ${place}`).toEqual({
          jobId: job.id!.toUpperCase(),
          tile: tail.tile,
          tail: tail.name,
        });
      }
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  },
);
