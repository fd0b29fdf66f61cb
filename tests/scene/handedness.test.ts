import { ceilingHeightMm } from "../../src/job/assumed.ts";
import { expect, test } from "vitest";
import { drawnDownFrom, mapPoint } from "../../src/ceiling/flip.ts";
import { loadCatalog } from "../../src/cli/catalogFiles.ts";
import { makeCamera, toScreen } from "../../src/scene/camera.ts";
import { makeCeiling } from "../../src/ceiling/ceiling.ts";
import { nightSchema } from "../../src/job/sections/sky.ts";
import { skyFrame } from "../../src/sky/frame.ts";
import { projectSky } from "../../src/sky/project.ts";
import { makeProjection } from "../../src/sky/projection.ts";
import { fixtureJob } from "./fixture.ts";

const catalog = await loadCatalog();

/** Screen places of stars for somebody on the floor looking straight up, plan +Y to the north and to the top. */
function lookingUp(utc: string, latDeg: number, lonDeg: number, stars: Record<string, number>) {
  const job = fixtureJob();
  job.ceiling.bearingDeg = 0;
  const ceiling = makeCeiling(job.ceiling);
  const night = nightSchema.parse({ id: "n", place: { latDeg, lonDeg }, moment: { utc } });
  const projection = makeProjection(night.view, night.field, 0, ceiling.box);
  const sky = projectSky(catalog, skyFrame(night), projection, ceiling.box);
  const middle: [number, number] = [2438.4, 1828.8];
  const seat = { name: "", atMm: middle, eyeMm: 1200, lookAtMm: middle, fieldDeg: 130 };
  const camera = makeCamera(seat, ceilingHeightMm(job.ceiling), 1600, 1200);
  const places = new Map<string, { x: number; y: number; flat: { x: number; y: number } }>();
  for (const [name, hip] of Object.entries(stars)) {
    const i = sky.hip.indexOf(hip);
    expect(i, `${name} is on the ceiling`).toBeGreaterThanOrEqual(0);
    const [xUm, yUm] = [sky.xUm[i]!, sky.yUm[i]!];
    const [x, y] = toScreen(camera, xUm / 1000, yUm / 1000, camera.ceilingMm)!;
    places.set(name, { x, y, flat: mapPoint(drawnDownFrom("face", ceiling.box), { x: xUm, y: yUm }) });
  }
  return (name: string) => places.get(name)!;
}

/*
 * Outside knowledge: IAU sky charts have north up and east LEFT. In Orion, with north up, Betelgeuse is the
 * upper left corner, Bellatrix the upper right, Saiph the lower left and Rigel the lower right, the Belt
 * between; Mintaka is its western (right) end. Right ascensions and declinations of the stars say the same:
 * Betelgeuse 5h55m +7.4, Rigel 5h15m -8.2, Bellatrix 5h25m +6.3, Saiph 5h48m -9.7 (any star atlas).
 */
test("Orion over the equator, looking up: Betelgeuse upper left of Rigel", () => {
  const at = lookingUp("2031-01-01T22:45:00Z", 0, 0, {
    betelgeuse: 27989,
    bellatrix: 25336,
    saiph: 27366,
    rigel: 24436,
    mintaka: 25930,
    alnitak: 26727,
  });
  expect(at("betelgeuse").x).toBeLessThan(at("rigel").x);
  expect(at("betelgeuse").y).toBeLessThan(at("rigel").y);
  expect(at("bellatrix").x).toBeGreaterThan(at("betelgeuse").x);
  expect(at("saiph").x).toBeLessThan(at("rigel").x);
  expect(at("saiph").y).toBeGreaterThan(at("betelgeuse").y);
  expect(at("mintaka").x).toBeGreaterThan(at("alnitak").x);
});

/* With north up the Big Dipper over the meridian has its handle to the left (east), its bowl to the right. */
test("the Big Dipper over 55 north, looking up: handle left of the bowl", () => {
  const at = lookingUp("2031-04-15T22:30:00Z", 55, 0, {
    alkaid: 67301,
    megrez: 59774,
    dubhe: 54061,
    merak: 53910,
  });
  expect(at("alkaid").x).toBeLessThan(at("megrez").x);
  expect(at("megrez").x).toBeLessThan(at("dubhe").x);
});

test("perspective from below is the flat looking-up view of flip.ts, stretched alike", () => {
  const at = lookingUp("2031-01-01T22:45:00Z", 0, 0, { a: 27989, b: 24436, c: 25336 });
  const [a, b, c] = [at("a"), at("b"), at("c")];
  const ratio = (b.x - a.x) / (b.flat.x - a.flat.x);
  expect((c.y - a.y) / (c.flat.y - a.flat.y)).toBeCloseTo(ratio, 9);
  expect(ratio).toBeGreaterThan(0);
});
