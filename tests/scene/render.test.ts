import { describe, expect, test } from "vitest";
import type { Seat } from "../../src/scene/camera.ts";
import { toScreen } from "../../src/scene/camera.ts";
import { renderScene } from "../../src/scene/render.ts";
import { prepareLightsOn, prepareScene } from "../../src/scene/scene.ts";
import { seatsOf } from "../../src/scene/seats.ts";
import type { Scene } from "../../src/scene/types.ts";
import { JobFaults } from "../../src/job/faults.ts";
import { fixtureJob, hole, scatteredHoles, sourceOf } from "./fixture.ts";
import { againstGolden } from "./picture.ts";

const overhead: Seat = {
  name: "",
  atMm: [2438.4, 1828.8],
  eyeMm: 700,
  lookAtMm: [2438.4, 1828.8],
  fieldDeg: 100,
};
const steady = { scene: { ends: "square" as const, twinkle: { share: 0 } } };

/** Brightness of the picture above the bare room in a box round a point of the ceiling, in codes. */
function glow(
  scene: Scene,
  frame: Uint8ClampedArray,
  bare: Uint8ClampedArray,
  x: number,
  y: number,
  reach = 14,
) {
  const at = toScreen(scene.camera, x, y, scene.camera.ceilingMm)!;
  let sum = 0;
  let peak = 0;
  for (let py = Math.floor(at[1]) - reach; py <= Math.floor(at[1]) + reach; py++) {
    for (let px = Math.floor(at[0]) - reach; px <= Math.floor(at[0]) + reach; px++) {
      const i = 4 * (py * scene.widthPx + px);
      const above = frame[i + 1]! - bare[i + 1]!;
      sum += above;
      peak = Math.max(peak, above);
    }
  }
  return { sum, peak };
}

/** Pixels round a point of the ceiling that are clearly brighter than the bare room. */
function lit(scene: Scene, frame: Uint8ClampedArray, bare: Uint8ClampedArray, x: number, y: number): number {
  const at = toScreen(scene.camera, x, y, scene.camera.ceilingMm)!;
  let count = 0;
  for (let py = Math.floor(at[1]) - 14; py <= Math.floor(at[1]) + 14; py++) {
    for (let px = Math.floor(at[0]) - 14; px <= Math.floor(at[0]) + 14; px++) {
      const i = 4 * (py * scene.widthPx + px) + 1;
      if (frame[i]! > bare[i]! + 12) count++;
    }
  }
  return count;
}

describe("brightness on the screen", () => {
  const job = fixtureJob(steady);
  // the 1.5 mm strand, 4 times the reference a little aside, stands half a magnitude over white
  const size = { seat: overhead, widthPx: 1152, heightPx: 720, samples: 1, whiteLight: 2 };
  const diameters = [0.5, 0.75, 1, 1.5, 2, 3];
  // a ring round the point overhead: same distance, same angle, same length
  const ring = diameters.map((d, i) => {
    const [c, s] = [Math.cos(i), Math.sin(i)];
    return hole(i + 1, 2438.4 + 400 * c, 1828.8 + 400 * s, d);
  });
  const scene = prepareScene(sourceOf(job, ring), size);
  const bare = renderScene(scene, { dimmer: 0 });

  test("has the order of the strands, each step seen, at a low dimmer", () => {
    const frame = renderScene(scene, { dimmer: 0.12 });
    const sums = ring.map((h) => glow(scene, frame, bare, h.xMm, h.yMm).sum);
    for (let i = 1; i < sums.length; i++) expect(sums[i]!).toBeGreaterThan(1.15 * sums[i - 1]!);
  });
  test("at full light 1 and 1.5 mm peak alike, dimmed they differ (a builder's observation, common practice, no source)", () => {
    const peaks = (dimmer: number): [number, number] => {
      const frame = renderScene(scene, { dimmer });
      const [, , one, oneAndHalf] = ring.map((h) => glow(scene, frame, bare, h.xMm, h.yMm).peak);
      return [one!, oneAndHalf!];
    };
    const full = peaks(1);
    expect(full[1] / full[0]).toBeLessThan(1.15);
    const dim = peaks(0.08);
    expect(dim[1] / dim[0]).toBeGreaterThan(1.4);
  });
  test("0.75, 1 and 1.5 mm are told apart at every dimmer: each shows wider than the last, on black", () => {
    for (const dimmer of [0.3, 0.5, 0.7, 1]) {
      const frame = renderScene(scene, { dimmer });
      const shown = [1, 2, 3].map((i) => lit(scene, frame, bare, ring[i]!.xMm, ring[i]!.yMm));
      expect(shown[1]!, `${dimmer}`).toBeGreaterThan(1.1 * shown[0]!);
      expect(shown[2]!, `${dimmer}`).toBeGreaterThan(1.4 * shown[0]!);
      // a quarter of the way to the next hole of the ring nothing is left of a thin strand's glow
      const beside = glow(scene, frame, bare, ring[1]!.xMm + 60, ring[1]!.yMm + 60, 2);
      expect(beside.peak).toBeLessThan(6);
    }
  });
  test("4 dB more loss look like one magnitude less: the frame of strands of 1.585 times less area", () => {
    const long = new Map(ring.map((h) => [h.id, 4 + 20]));
    const lossy = prepareScene(sourceOf(job, ring), { ...size, lengthsM: long });
    const thin = ring.map((h) => ({ ...h, diameterMm: h.diameterMm / 10 ** 0.2 }));
    const thinner = prepareScene(sourceOf(job, thin), size);
    // thin strands stay points here, so only power counts; 0.5 to 1 mm
    for (let i = 0; i < 3; i++) {
      expect(lossy.lights[i]!.power / thinner.lights[i]!.power).toBeCloseTo(1, 6);
      expect(lossy.lights[i]!.power / scene.lights[i]!.power).toBeCloseTo(10 ** -0.4, 6);
    }
  });
  test("a strand far outside its cone shows scattered light only", () => {
    const below = hole(1, 2438.4, 1828.8, 0.75);
    const aside = hole(2, 4300, 1828.8, 0.75);
    const two = prepareScene(sourceOf(job, [below, aside]), {
      ...size,
      seat: { ...overhead, eyeMm: 1700, fieldDeg: 140 },
    });
    const weight = (light: number): number => {
      const i = two.spots.light.indexOf(light);
      const end = i + 1 < two.spots.count ? two.spots.start[i + 1]! : two.spots.weights.length;
      return two.spots.weights.subarray(two.spots.start[i], end).reduce((a, b) => a + b, 0);
    };
    // distances 1 m and 2.113 m; square ends scatter 3 %
    const expected = 0.03 / (1 + 1.8616 ** 2);
    // less the glare of the faint one that no screen can show
    expect(weight(1) / weight(0) / expected).toBeGreaterThan(0.9);
    expect(weight(1) / weight(0) / expected).toBeLessThan(1);
  });
});

describe("acuity", () => {
  const job = fixtureJob(steady);
  const close: Seat = { ...overhead, eyeMm: 2200, fieldDeg: 20 };
  const size = { seat: close, widthPx: 800, heightPx: 500, samples: 1 };
  const widthAtHalf = (diameterMm: number, eyeMm: number): number => {
    const scene = prepareScene(sourceOf(job, [hole(1, 2438.4, 1828.8, diameterMm)]), {
      ...size,
      seat: { ...close, eyeMm },
    });
    const side = scene.spots.width[0]!;
    const middle = Math.floor(side / 2);
    const row = scene.spots.weights.subarray(middle * side, middle * side + side);
    const top = Math.max(...row);
    return row.filter((w) => w > top / 2).length;
  };
  test("strands under an arcminute are all the same point, thick near ones are discs of their size", () => {
    expect(widthAtHalf(0.25, 700)).toBe(widthAtHalf(0.5, 700));
    // 3 mm from 0.5 m is 20.6 arcmin; the picture has 800 px over 20 degrees, 1.5 arcmin a pixel
    const focal = 400 / Math.tan((10 * Math.PI) / 180);
    expect(Math.abs(widthAtHalf(3, 2200) - (focal * 3) / 500)).toBeLessThanOrEqual(2);
  });
  test("a disc holds the light of a point: 36 times that of a strand of 0.5 mm, which is one", () => {
    const sum = (diameterMm: number): number => {
      const source = sourceOf(job, [hole(1, 2438.4, 1828.8, diameterMm)]);
      return prepareScene(source, { ...size, whiteLight: 100 }).spots.weights.reduce((a, b) => a + b, 0);
    };
    expect(sum(3) / sum(0.5) / 36).toBeGreaterThan(0.95);
    // the glare of more light shows farther out
    expect(sum(3) / sum(0.5) / 36).toBeLessThan(1.15);
  });
});

describe("frames", () => {
  const job = fixtureJob();
  const source = sourceOf(job, scatteredHoles(400));
  const size = { seat: seatsOf(job, source.ceiling)[1]!, widthPx: 320, heightPx: 200, samples: 1 };
  test("same seed and time, same bytes; another time or seed, others", () => {
    const one = renderScene(prepareScene(source, size), { timeS: 2.5, dimmer: 0.5 });
    const again = prepareScene(source, size);
    renderScene(again, { timeS: 9, dimmer: 0.9 });
    expect(renderScene(again, { timeS: 2.5, dimmer: 0.5 })).toEqual(one);
    expect(renderScene(again, { timeS: 3.5, dimmer: 0.5 })).not.toEqual(one);
    const other = sourceOf(fixtureJob({ pattern: { seed: 2 } }), source.pattern.holes);
    expect(renderScene(prepareScene(other, size), { timeS: 2.5, dimmer: 0.5 })).not.toEqual(one);
  });
  test("after a turn of the wheel the picture comes again", () => {
    const scene = prepareScene(source, size);
    expect(renderScene(scene, { timeS: 24 })).toEqual(renderScene(scene, { timeS: 4 }));
  });
  test("only twinkling strands change, and steady ones do not", () => {
    const scene = prepareScene(source, size);
    const restless = new Set(scene.restless);
    const a = renderScene(scene, { timeS: 1 });
    const b = renderScene(scene, { timeS: 2 });
    let changed = 0;
    for (let p = 0; p < size.widthPx * size.heightPx; p++) {
      if (a[4 * p + 1] === b[4 * p + 1]) continue;
      changed++;
      expect(restless.has(p)).toBe(true);
    }
    expect(changed).toBeGreaterThan(20);
  });
});

describe("odd rooms and bad input", () => {
  const job = fixtureJob();
  job.ceiling.outlineMm = [
    [0, 0],
    [6000, 0],
    [6000, 2000],
    [2000, 2000],
    [2000, 5000],
    [0, 5000],
  ];
  job.ceiling.noGo = [];
  const seat: Seat = { name: "", atMm: [1000, 4500], eyeMm: 1200, lookAtMm: [1000, 4000], fieldDeg: 130 };
  test("strands round the corner of an L-shaped room are not seen", () => {
    const source = sourceOf(job, [hole(1, 1000, 3000, 3), hole(2, 5500, 1800, 3)]);
    const scene = prepareScene(source, { seat, widthPx: 320, heightPx: 200, samples: 1 });
    expect([...scene.spots.light]).toEqual([0]);
  });
  test("every seat of our own is inside it", () => {
    const source = sourceOf(job, []);
    for (const own of seatsOf(job, source.ceiling))
      expect(() => prepareScene(source, { seat: own, widthPx: 32, heightPx: 20, samples: 1 })).not.toThrow();
  });
  test("an eye outside the room or above the ceiling is refused with the place in the job", () => {
    const source = sourceOf(job, []);
    const size = { widthPx: 32, heightPx: 20 };
    const outside = (): unknown => prepareScene(source, { seat: { ...seat, atMm: [5000, 4500] }, ...size });
    const above = (): unknown => prepareScene(source, { seat: { ...seat, eyeMm: 2690 }, ...size });
    expect(outside).toThrow(JobFaults);
    expect(outside).toThrow(/scene\.seats\.atMm/);
    expect(above).toThrow(/scene\.seats\.eyeMm/);
  });
});

describe("golden pictures", () => {
  const job = fixtureJob({ scene: { tint: true } });
  const source = sourceOf(job, scatteredHoles(900));
  const seats = seatsOf(job, source.ceiling);
  const size = { widthPx: 480, heightPx: 300 };
  test.each(seats)("$name, dark", async (seat) => {
    const frame = renderScene(prepareScene(source, { seat, ...size }), { timeS: 1.25, dimmer: 0.5 });
    expect(await againstGolden(`dark-${seat.name}`, frame, size.widthPx, size.heightPx)).toBe("");
  });
  test("lights on", async () => {
    const frame = renderScene(prepareLightsOn(source, { seat: seats[2]!, ...size }));
    expect(await againstGolden("lights-on", frame, size.widthPx, size.heightPx)).toBe("");
  });
});
