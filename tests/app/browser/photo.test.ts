import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { fourCorners } from "../../../src/photo/corners.ts";
import { photograph, seen } from "../../photo/darkroom.ts";
import { demoPlan } from "../../photo/demo.ts";
import { hangBadly } from "../../photo/swapped.ts";
import { openPart, seriousFaults, smallTargets } from "./hands.ts";
import { stand, type Stand, wrongsOf } from "./harness.ts";

let at: Stand;
beforeAll(async () => {
  at = await stand();
});
afterAll(() => at.close());

const POSE = {
  targetMm: [2400, 1900] as [number, number],
  distanceMm: 2600,
  tiltDeg: 20,
  leanDeg: 80,
  rollDeg: 200,
  focalPx: 1150,
  k1: -0.05,
  widthPx: 2000,
  heightPx: 1500,
};

test("a photograph of the demo is judged in the browser, its dead strands listed, its table downloaded", async () => {
  const { holes } = await demoPlan();
  const dead = ["B5", "F3"].map((tile) => holes.find((h) => h.tile === tile)!);
  const hung = hangBadly(holes, 5, { dead: dead.map((h) => h.id) });
  const picture = join(at.folder, "dark.jpg");
  writeFileSync(picture, await photograph(hung.dots, [], POSE, { seed: 3 }));
  const black = join(at.folder, "black.jpg");
  writeFileSync(black, await photograph([], [], { ...POSE, widthPx: 400, heightPx: 300 }, { glow: 0 }));

  const context = await at.context();
  const page = await at.open(context);
  await openPart(page, "Test");
  await page.locator("input[type=file][multiple]").setInputFiles([picture, black]);
  await page
    .getByText(/The plan was found: \d+ of \d+ planned places/)
    .first()
    .waitFor({ timeout: 110_000 });
  await page
    .getByText(/is black|small lights/)
    .first()
    .waitFor();
  await page.getByText("hold the phone still for a longer exposure").first().waitFor();
  await page.getByRole("button", { name: /^Findings/ }).click();
  for (const { tile, numberInTile } of dead)
    expect(await page.getByRole("row", { name: `${tile}·${numberInTile} D dead` }).count()).toBe(1);
  await page.getByRole("button", { name: "Put into the record: 2 dead" }).click();
  await page.getByText("The record of this job says all of this.").waitFor();
  const [saved] = await Promise.all([
    page.waitForEvent("download"),
    page.getByRole("button", { name: "Every strand (CSV)" }).click(),
  ]);
  const rows = readFileSync(await saved.path(), "utf8")
    .trim()
    .split("\r\n");
  expect(rows[0]).toBe("hole,tile,verdict,dx_mm,dy_mm,light,why");
  expect(rows).toHaveLength(holes.length + 1);
  for (const { id, tile } of dead) expect(rows[id]).toMatch(new RegExp(`^${id},${tile},dead,`));
  expect(wrongsOf(context)).toEqual([]);
}, 180_000);

test("the part before any picture: for hands and eyes, on a phone", async () => {
  const context = await at.context({ bypassCSP: true, viewport: { width: 390, height: 844 } });
  const page = await at.open(context);
  await openPart(page, "Test");
  await page.getByText("They stay on this machine").waitFor();
  expect(await seriousFaults(page)).toEqual([]);
  expect(await smallTargets(page)).toEqual([]);
});

test("on a phone: where the plan is not found, four corners put under the finger place it", async () => {
  const { holes, plan } = await demoPlan();
  // so few lit, here and there, that no group of neighbours is whole
  const { dots } = hangBadly(holes, 5, {});
  const picture = join(at.folder, "few.jpg");
  const few = dots.filter((_, i) => i % 3 === 0);
  writeFileSync(picture, await photograph(few, [], { ...POSE, distanceMm: 6500 }, { seed: 4, gain: 6 }));
  const context = await at.context({ viewport: { width: 390, height: 844 }, hasTouch: true });
  const page = await at.open(context);
  await openPart(page, "Test");
  await page.locator("input[type=file][multiple]").setInputFiles(picture);
  await page.getByRole("button", { name: "Tap four corners" }).click({ timeout: 110_000 });
  const corners = fourCorners(plan.job.ceiling.outlineMm);
  await page.getByText("Corner 1 of 4").waitFor();
  const image = page.getByRole("img", { name: /^few.jpg/ });
  for (const [i, [x, y]] of corners.entries()) {
    const box = (await image.boundingBox())!;
    const seenAt = seen({ ...POSE, distanceMm: 6500 }, x, y)!;
    const [px, py] = [
      box.x + (seenAt.xPx / POSE.widthPx) * box.width,
      box.y + (seenAt.yPx / POSE.heightPx) * box.height,
    ];
    await page.mouse.move(px + 12, py + 9);
    await page.mouse.down();
    await page.mouse.move(px, py, { steps: 3 });
    if (i === 0) await page.locator(".loupe").waitFor();
    await page.mouse.up();
  }
  await page
    .getByText(/The plan was found: \d+ of \d+ planned places/)
    .first()
    .waitFor({ timeout: 60_000 });
  expect(wrongsOf(context)).toEqual([]);
}, 180_000);
