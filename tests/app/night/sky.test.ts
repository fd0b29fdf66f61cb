import { describe, expect, test } from "vitest";
import type { SkyPicture, SkyRequest } from "../../../src/app/parts/night/worker/api.ts";
import { skyPicture } from "../../../src/app/parts/night/worker/sky.ts";
import { loadCatalog } from "../../../src/cli/catalogFiles.ts";
import { skyFrame } from "../../../src/sky/frame.ts";
import { projectSky } from "../../../src/sky/project.ts";
import { scaleUm, toDirection } from "../../../src/sky/projection.ts";
import { altitudeDegOf } from "../../../src/sky/trig.ts";
import { aBox, aNight } from "../../sky/support.ts";

const catalog = await loadCatalog();
const BOX = { minX: -800_000, minY: -800_000, maxX: 5_676_800, maxY: 4_457_600 };

function request(change: Partial<SkyRequest> = {}): SkyRequest {
  return {
    night: aNight(),
    bearingDeg: 29,
    room: aBox,
    box: BOX,
    figures: true,
    milkyWay: true,
    moving: false,
    spare: null,
    ...change,
  };
}

/** The polylines of a picture, as points in mm. */
function curves({ lines, ends }: SkyPicture): [number, number][][] {
  return [...ends].map((end, i) => {
    const run = lines.subarray(i === 0 ? 0 : ends[i - 1], end);
    return Array.from({ length: run.length / 2 }, (_, k) => [run[2 * k]!, run[2 * k + 1]!]);
  });
}

/** Distance of a point from a polyline, mm. */
function distance([x, y]: [number, number], line: [number, number][]): number {
  const each = line.slice(1).map(([bx, by], i) => {
    const [ax, ay] = line[i]!;
    const [dx, dy] = [bx - ax, by - ay];
    const t = Math.min(1, Math.max(0, ((x - ax) * dx + (y - ay) * dy) / (dx * dx + dy * dy)));
    return Math.hypot(x - ax - t * dx, y - ay - t * dy);
  });
  return Math.min(...each);
}

describe("a sky for the stage", () => {
  test("holds the stars of the projection, in order, without its bodies", () => {
    const asked = request();
    const picture = skyPicture(catalog, asked);
    const sky = projectSky(catalog, skyFrame(asked.night), picture.projection, BOX);
    const rows = [...sky.hip.keys()].filter((i) => sky.hip[i] !== 0);
    expect(rows.length).toBeLessThan(sky.count);
    expect(picture.count).toBe(rows.length);
    expect([...picture.stars.subarray(0, 3 * picture.count)]).toEqual(
      rows.flatMap((i) => [sky.xUm[i]!, sky.yUm[i]!, sky.magnitudeMilli[i]!]),
    );
  });

  test("fills the array handed back, and makes a longer one only where it must", () => {
    const first = skyPicture(catalog, request());
    const kept = [...first.stars.subarray(0, 3 * first.count)];
    const later = request({ night: aNight({ moment: { utc: "2031-02-14T20:10:00Z" } }) });
    const fresh = skyPicture(catalog, later);
    // what was made for one sky is not touched by the next, though both come from the same memory
    expect([...first.stars.subarray(0, 3 * first.count)]).toEqual(kept);
    const again = skyPicture(catalog, { ...later, spare: first.stars });
    expect(again.stars).toBe(first.stars);
    expect([...again.stars.subarray(0, 3 * again.count)]).toEqual([
      ...fresh.stars.subarray(0, 3 * fresh.count),
    ]);
    const short = skyPicture(catalog, { ...later, spare: new Int32Array(30) });
    expect(short.stars.length).toBeGreaterThanOrEqual(3 * short.count);
    expect(short.count).toBe(fresh.count);
  });

  // A great circle becomes a circle of at least the projection's scale in radius (Snyder, PP 1395, sec. 21);
  // a chord of length L strays L² / 8R from a circle of radius R.
  test("while it moves its lines have fewer corners, and stray by no more than a chord must", () => {
    const still = skyPicture(catalog, request());
    const moving = skyPicture(catalog, request({ moving: true }));
    const [fine, coarse] = [curves(still), curves(moving)];
    expect(moving.lines.length).toBeLessThan(0.7 * still.lines.length);
    expect(coarse.length).toBe(fine.length);
    const scaleMm = scaleUm(still.projection) / 1000;
    fine.forEach((line, i) => {
      const farthest = Math.max(
        ...line.map(([x, y]) => {
          const [ax, ay] = still.projection.anchorMm;
          return Math.hypot(x - ax, y - ay) / scaleMm;
        }),
      );
      // r = tan(c/2), so a small arc a is drawn a (1 + r²) / 2 long
      const chordMm = ((3 * Math.PI) / 180) * scaleMm * ((1 + farthest ** 2) / 2);
      const strayMm = chordMm ** 2 / (8 * scaleMm);
      const worst = Math.max(...line.map((point) => distance(point, coarse[i]!)));
      // arcs are cut into equal parts, lines are stored in single precision: a twentieth is left for both
      expect(worst).toBeLessThan(1.05 * strayMm + 0.001);
    });
  });

  test("holds no line that misses the room, and every one that crosses it", () => {
    const room = { minX: 2_000_000, minY: 1_500_000, maxX: 2_900_000, maxY: 2_100_000 };
    const field = { halfAngleDeg: 62, anchorMm: [2438.4, 1828.8], radiusMm: 3048 };
    const all = curves(skyPicture(catalog, request({ night: aNight({ field }) })));
    const some = curves(skyPicture(catalog, request({ night: aNight({ field }), room })));
    const inside = ([x, y]: [number, number]): boolean =>
      x * 1000 > room.minX && x * 1000 < room.maxX && y * 1000 > room.minY && y * 1000 < room.maxY;
    const through = all.filter((line) => line.some(inside));
    expect(through.length).toBeGreaterThan(0);
    expect(some).toEqual(expect.arrayContaining(through));
    expect(some.length).toBeLessThan(all.length / 2);
  });

  test("draws the horizon where it crosses the room, and nowhere else", () => {
    expect(skyPicture(catalog, request()).horizon).toEqual([]);
    const low = aNight({ view: { azimuthDeg: 180, altitudeDeg: 20, turnDeg: 0 } });
    const { horizon, projection } = skyPicture(catalog, request({ night: low }));
    expect(horizon.flat().length).toBeGreaterThan(10);
    for (const [x, y] of horizon.flat()) {
      expect(altitudeDegOf(...toDirection(projection, x * 1000, y * 1000))).toBeCloseTo(0, 6);
    }
  });
});
