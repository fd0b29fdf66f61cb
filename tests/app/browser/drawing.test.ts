import { readFileSync } from "node:fs";
import PDFDocument from "pdfkit";
import type { Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { parseLength } from "../../../src/job/units.ts";
import { ready, stand, type Stand, wrongsOf } from "./harness.ts";

/** Drawings by ezdxf with the truth they were drawn from (scripts/authorities/drawings_ezdxf.py). */
const FOLDER = "tests/authorities/drawings";
const AXE = readFileSync("node_modules/axe-core/axe.min.js", "utf8");

let at: Stand;
beforeAll(async () => {
  at = await stand();
});
afterAll(() => at.close());

/** A file let fall on the page, as by a hand. */
async function drop(page: Page, name: string, bytes: Buffer): Promise<void> {
  const transfer = await page.evaluateHandle(
    ([name, text]) => {
      const data = new DataTransfer();
      data.items.add(new File([Uint8Array.from(atob(text!), (c) => c.charCodeAt(0))], name!));
      return data;
    },
    [name, bytes.toString("base64")],
  );
  await page.dispatchEvent("body", "drop", { dataTransfer: transfer });
}

async function faults(page: Page): Promise<string[]> {
  await page.evaluate(AXE);
  return page.evaluate(async () => {
    type Found = { violations: { id: string; impact: string; nodes: { html: string }[] }[] };
    const { axe } = window as unknown as { axe: { run(): Promise<Found> } };
    const { violations } = await axe.run();
    return violations
      .filter(({ impact }) => impact === "serious" || impact === "critical")
      .flatMap(({ id, nodes }) => nodes.map(({ html }) => `${id}: ${html.slice(0, 120)}`));
  });
}

describe("a drawing becomes a survey", () => {
  test("dropped, its room picked and its unit said, a layer changed: a new room; another fills the open one, undone in one step", async () => {
    const context = await at.context({ bypassCSP: true });
    const page = await at.open(context);
    await drop(page, "ground floor.dxf", readFileSync(`${FOLDER}/three-rooms.dxf`));
    await page.getByText("Which room is it? Pick its picture.").waitFor();
    const start = page.getByRole("button", { name: "Start a new room with it" });
    expect(await start.isDisabled()).toBe(true);
    await page.getByRole("radio", { name: "Study" }).check();
    await page.getByText(/^Which of these sizes/).waitFor();
    await page.getByRole("radio", { name: /drawn in metres/ }).check();
    await page.getByText(/1 × luminaire/).waitFor();
    await page.getByLabel("LIGHTS is read as").selectOption("smoke-detector");
    await page.getByText(/1 × smoke or heat detector/).waitFor();
    expect(await faults(page)).toEqual([]);
    await start.click();
    await page.getByRole("button", { name: "Job: Study" }).waitFor();
    await ready(page);
    const { depthMm } = JSON.parse(readFileSync(`${FOLDER}/truth.json`, "utf8")).drawings["three-rooms"];
    expect(await page.getByLabel("Length of wall 2").inputValue()).toBe(`${depthMm / 1000} m`);

    // a file that breaks off changes nothing and says why
    await drop(page, "torn.dxf", readFileSync(`${FOLDER}/three-rooms.dxf`).subarray(0, 3000));
    await page.getByText(/is not whole: copy or save it again/).waitFor();
    await page.getByRole("button", { name: "Close" }).click();

    await drop(page, "reading room.dxf", readFileSync(`${FOLDER}/standard-layers.dxf`));
    await page.getByText(/lie on it within/).waitFor();
    await page.getByText(/layer A-FURN, which is frozen or off/).waitFor();
    await page.getByRole("button", { name: /^Fill in the survey of/ }).click();
    await page.getByRole("button", { name: /^No-go zones.* 9 zones/ }).waitFor();
    await page.keyboard.press("Control+z");
    await page.getByRole("button", { name: /^No-go zones.* 1 zone/ }).waitFor();

    await drop(page, "second floor.pdf", await planPdf());
    await page.locator("svg image").waitFor();
    expect(await faults(page)).toEqual([]);
    expect(wrongsOf(context)).toEqual([]);
    await context.close();
  });

  test("a PDF of a plan lies beneath, scaled by two points that were measured; removed in one step and brought back", async () => {
    const context = await at.context();
    const page = await at.open(context);
    await drop(page, "second floor.pdf", await planPdf());
    const picture = page.locator("svg image");
    await picture.waitFor();
    await page.getByRole("button", { name: "Mark two points you have measured" }).click();
    const box = (await picture.boundingBox())!;
    for (const [x, y] of ROOM_ENDS)
      await page.mouse.click(box.x + (x / PAGE_MM[0]) * box.width, box.y + (y / PAGE_MM[1]) * box.height);
    await page.getByLabel("Between these two in the room").fill("12.8 m");
    await page.keyboard.press("Enter");
    // 1:50 on A3: 21 m of building across the sheet; a dot of the screen is some 15 mm of it
    const width = page.getByLabel("Width of the picture");
    await page.getByLabel("Between these two in the room").waitFor({ state: "detached" });
    expect(Math.abs(parseLength(await width.inputValue(), "ft-in") - PAGE_MM[0] * 50)).toBeLessThan(100);
    await page.getByRole("button", { name: "Remove it" }).click();
    await picture.waitFor({ state: "detached" });
    await page.keyboard.press("Control+z");
    await picture.waitFor();
    // kept in the job: there again when the page is opened anew
    await page.getByText(/^Kept in this browser/).waitFor();
    await page.reload();
    await picture.waitFor({ state: "attached" });

    await drop(page, "torn.pdf", Buffer.from("%PDF-1.4 and nothing more"));
    await page.getByText(/torn\.pdf could not be read: it may be damaged/).waitFor();
    await picture.waitFor();
    expect(wrongsOf(context)).toEqual([]);
    await context.close();
  });
});

/** A3 lying, a room of 12.8 x 9.6 m on it in 1:50; the ends of its lower wall in mm from the upper left. */
const PAGE_MM = [420, 297] as const;
const ROOM_ENDS = [
  [80, 242],
  [336, 242],
] as const;

function planPdf(): Promise<Buffer> {
  const pt = (mm: number): number => (mm * 72) / 25.4;
  const pdf = new PDFDocument({ size: [pt(PAGE_MM[0]), pt(PAGE_MM[1])] });
  const parts: Buffer[] = [];
  pdf.on("data", (part: Buffer) => parts.push(part));
  const whole = new Promise<Buffer>((done) => pdf.on("end", () => done(Buffer.concat(parts))));
  pdf.rect(pt(80), pt(50), pt(256), pt(192)).stroke().text("Meeting room", pt(100), pt(100));
  pdf.end();
  return whole;
}
