import { writeFileSync } from "node:fs";
import sharp from "sharp";
import { afterAll, describe, expect, test } from "vitest";
import { fourCorners } from "../../src/photo/corners.ts";
import { readCorners } from "../../src/cli/photo.ts";
import { checkPictures, readPicture } from "../../src/cli/photographs.ts";
import type { JobFaults } from "../../src/job/faults.ts";
import { scratch } from "./run.ts";

const room = scratch();
afterAll(room.remove);

const flat = (width: number, height: number) =>
  sharp({ create: { width, height, channels: 3, background: "#000" } });

/** What a refusal says. */
async function refusal(work: () => Promise<unknown>): Promise<string> {
  try {
    await work();
  } catch (error) {
    return (error as JobFaults).faults.map((f) => `${f.expected}; ${f.got}; ${f.next}`).join("\n");
  }
  return "";
}

describe("pictures that can't be used are refused in words", () => {
  test("none there, no image, too large: all told at once", async () => {
    const text = room.path("notes.jpg");
    writeFileSync(text, "this is no picture");
    const huge = room.path("huge.png");
    await flat(15_000, 13_400).png().toFile(huge);
    const words = await refusal(() => checkPictures([room.path("missing.jpg"), text, huge]));
    expect(words).toMatch(/no such file/);
    expect(words).toMatch(/no picture that can be read/);
    expect(words).toMatch(/201 megapixels; Set the phone to 12 megapixels/);
  });

  test("one that breaks off", async () => {
    const path = room.path("half.jpg");
    const noise = sharp({ create: { width: 800, height: 600, channels: 3, background: "#000", noise: { type: "gaussian", mean: 90, sigma: 30 } } }); // prettier-ignore
    const whole = await noise.jpeg().toBuffer();
    writeFileSync(path, whole.subarray(0, whole.length / 3));
    expect(await refusal(() => readPicture(path))).toMatch(/breaks off|damaged/);
  });
});

test("a turn noted by the camera is undone", async () => {
  const path = room.path("turned.jpg");
  // EXIF orientation 6: to be shown turned a quarter clockwise; the mark at the stored left top then stands right top
  const dot = await flat(6, 6).png().toBuffer();
  const picture = sharp({ create: { width: 60, height: 40, channels: 3, background: "#fff" } });
  await picture
    .composite([{ input: dot, left: 0, top: 0 }])
    .withMetadata({ orientation: 6 })
    .jpeg()
    .toFile(path);
  const { widthPx, heightPx, pixels } = await readPicture(path);
  expect([widthPx, heightPx]).toEqual([40, 60]);
  expect(pixels[3 * 38]).toBeLessThan(60);
  expect(pixels[3 * 2]).toBeGreaterThan(200);
});

test("corners: of the ceiling in the plan's order, or any place with @", () => {
  // the upper right corner of its box is a nook
  const room = fourCorners([[0, 0], [4000, 0], [4000, 2000], [3500, 2000], [3500, 3000], [0, 3000]]); // prettier-ignore
  expect(room).toEqual([[0, 3000], [3500, 3000], [4000, 0], [0, 0]]); // prettier-ignore
  const corners = readCorners("10,20 30,20 30,5@3500,250 10,5", room);
  expect(corners.map((c) => [c.xMm, c.yMm])).toEqual([
    [0, 3000],
    [3500, 3000],
    [3500, 250],
    [0, 0],
  ]);
  expect(() => readCorners("1,2 3,4", room)).toThrow(/four or more points/);
});
