import { readFile } from "node:fs/promises";
import { describe, expect, test } from "vitest";
import { checkJob } from "../../src/check.ts";
import { loadCatalog } from "../../src/cli/catalogFiles.ts";
import { planJob } from "../../src/work/planJob.ts";
import { toScreen } from "../../src/scene/camera.ts";
import { pictureMarks } from "../../src/scene/marks.ts";
import { makeOverlay, overlaySvg } from "../../src/scene/overlay.ts";
import { prepareRealSky } from "../../src/scene/realSky.ts";
import { renderScene } from "../../src/scene/render.ts";
import { prepareScene } from "../../src/scene/scene.ts";
import { seatsOf } from "../../src/scene/seats.ts";

const catalog = await loadCatalog();
const { job } = checkJob(
  await readFile(new URL("../../demo/harbour-dining-room.velarium.json", import.meta.url)),
);
const plan = planJob(job, catalog);
const size = { widthPx: 480, heightPx: 300, samples: 1 };
const seat = seatsOf(job, plan.ceiling)[0]!;

describe("the real sky beside the ceiling", () => {
  const sky = prepareRealSky(plan, catalog, { seat, ...size });
  test("keeps Pogson's steps between any two stars, whatever the strands do", () => {
    // catalogue magnitudes of two stars of this sky: Deneb 1.25 (HIP 102098), Sadr 2.23 (HIP 100453), Hipparcos V
    const ratio = 10 ** (0.4 * (2.23 - 1.25));
    const powers = [102098, 100453].map((hip) => {
      const hole = plan.pattern.holes.find((h) => h.star === hip)!;
      const light = sky.lights.reduce((best, l) =>
        Math.hypot(l.xMm - hole.trueXMm!, l.yMm - hole.trueYMm!) <
        Math.hypot(best.xMm - hole.trueXMm!, best.yMm - hole.trueYMm!)
          ? l
          : best,
      );
      return light.power;
    });
    expect(powers[0]! / powers[1]!).toBeCloseTo(ratio, 1);
  });
  test("shows what an eye sees under 21.6 magnitudes per square arcsecond, at its true place, with no twinkle", () => {
    expect(sky.lights.length).toBeGreaterThan(800);
    expect(sky.lights.every((l) => l.channel === -1 && l.axis === null && l.power > 0)).toBe(true);
    // Schaefer 1990: 6.435; what is seen of Vega (Hipparcos, V 0.03) is its light over that of the threshold
    const bright = Math.max(...sky.lights.map((l) => l.power));
    expect(bright).toBeCloseTo(10 ** (-0.4 * 0.03) - 10 ** (-0.4 * 6.435), 4);
    expect(Math.min(...sky.lights.map((l) => l.power))).toBeLessThan(10 ** (-0.4 * 10));
  });
  test("has the dimmer of no engine, and points for planets", () => {
    expect(renderScene(sky, { dimmer: 0 })).toEqual(renderScene(sky, { dimmer: 1 }));
    expect(sky.lights.every((l) => l.radiusMm === 0)).toBe(true);
  });
  test("has the Milky Way brighter than the sky away from it", () => {
    const frame = renderScene(sky, { dimmer: 0 });
    const codes = [...Array(size.widthPx * size.heightPx).keys()]
      .map((p) => frame[4 * p + 2]!)
      .sort((a, b) => a - b);
    const at = (share: number): number => codes[Math.floor(share * (codes.length - 1))]!;
    expect(at(0.95)).toBeGreaterThan(at(0.3) + 10);
  });
});

describe("figures and names", () => {
  const overlay = makeOverlay(plan.pattern.holes, catalog);
  test("a line joins the holes of two stars of the same figure: Cygnus, Deneb to Sadr", () => {
    const deneb = plan.pattern.holes.find((h) => h.star === 102098)!;
    const sadr = plan.pattern.holes.find((h) => h.star === 100453)!;
    const ends = [deneb, sadr].map((h) => `${h.xMm},${h.yMm}`).sort();
    const line = overlay.lines.find((l) => {
      const found = [l.from, l.to].map((p) => `${p[0]},${p[1]}`).sort();
      return found[0] === ends[0] && found[1] === ends[1];
    });
    expect(line?.figure).toBe("Cyg");
  });
  test("every line ends at holes", () => {
    const holes = new Set(plan.pattern.holes.map((h) => `${h.xMm},${h.yMm}`));
    for (const { from, to } of overlay.lines) {
      expect(holes.has(`${from[0]},${from[1]}`)).toBe(true);
      expect(holes.has(`${to[0]},${to[1]}`)).toBe(true);
    }
  });
  test("names bright stars and figures, escaped, inside the picture", () => {
    const names = overlay.labels.map((l) => l.text);
    expect(names).toEqual(expect.arrayContaining(["Vega", "Deneb", "Cygnus", "Lyra"]));
    const hostile = {
      ...overlay,
      labels: [{ kind: "star" as const, text: `<script>&"`, at: overlay.labels[0]!.at }],
    };
    const scene = prepareScene(plan, { seat: { ...seat, fieldDeg: 140 }, ...size });
    const svg = overlaySvg(hostile, plan, scene.camera);
    expect(svg).not.toContain("<script>");
    expect(svg).toContain("&lt;script&gt;&amp;&quot;");
  });
});

describe("marks on a small picture", () => {
  const overlay = makeOverlay(plan.pattern.holes, catalog);
  const { camera } = prepareScene(plan, { seat, ...size });
  const marks = pictureMarks(overlay, plan, camera);
  test("name a few of the brightest, each at its hole", () => {
    const names = marks.names.map((name) => name.text);
    expect(names).toEqual(expect.arrayContaining(["Vega", "Deneb", "Altair"]));
    expect(names.length).toBeLessThanOrEqual(5);
    for (const { text, at } of marks.names) {
      const hole = plan.pattern.holes.find((h) => h.name === text)!;
      const [x, y] = toScreen(camera, hole.xMm, hole.yMm, camera.ceilingMm)!;
      expect(at[0]).toBeCloseTo(x / size.widthPx, 9);
      expect(at[1]).toBeCloseTo(y / size.heightPx, 9);
    }
  });
  test("draw lines only between stars of magnitude 4 or brighter, inside the picture", () => {
    expect(marks.lines.length).toBeGreaterThan(10);
    const bright = plan.pattern.holes
      .filter((h) => h.magnitude !== null && h.magnitude <= 4)
      .map((h) => toScreen(camera, h.xMm, h.yMm, camera.ceilingMm)!);
    for (const [x, y] of marks.lines.flat()) {
      expect(Math.min(x, y, 1 - x, 1 - y)).toBeGreaterThan(0);
      const nearest = Math.min(
        ...bright.map((b) => Math.hypot(b[0] - x * size.widthPx, b[1] - y * size.heightPx)),
      );
      expect(nearest).toBeLessThan(1e-6);
    }
  });
});
