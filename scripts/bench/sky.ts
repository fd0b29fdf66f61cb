import { readFileSync } from "node:fs";
import { Body, DefineStar, Equator, Horizon, Observer } from "astronomy-engine";
import { loadCatalog } from "../../src/cli/catalogFiles.ts";
import { nightSchema } from "../../src/job/sections/sky.ts";
import { skyFrame } from "../../src/sky/frame.ts";
import { horizontalDirection } from "../../src/sky/linear.ts";
import { projectSky, skyBuffers, starSeenAt } from "../../src/sky/project.ts";
import { makeProjection } from "../../src/sky/projection.ts";
import { separationArcsec, tableOf } from "../../tests/sky/support.ts";
import { medianMs } from "./measure.ts";
import type { BenchLine } from "./measure.ts";

interface Authority {
  stars: { name: string; raDeg: number; decDeg: number; pmRaMasPerYear: number; pmDecMasPerYear: number }[];
  skies: {
    utc: string;
    latDeg: number;
    lonDeg: number;
    elevationM: number;
    azimuthAltitudeDeg: ([number, number] | null)[];
  }[];
}

const BOX = { minX: 0, minY: 0, maxX: 5_334_000, maxY: 4_064_000 };

/** Star positions against the ERFA file, and the cost of a sky against astronomy-engine called per star. */
export async function benchSky(): Promise<BenchLine[]> {
  const { stars } = await loadCatalog();
  const night = nightSchema.parse({
    id: "bench",
    place: { latDeg: 44.4, lonDeg: -64.3 },
    moment: { utc: "2029-09-09T01:00:00Z" },
  });
  const frame = skyFrame(night);
  const projection = makeProjection(night.view, night.field, 341, BOX);
  const buffers = skyBuffers(stars.count);
  const ms = medianMs(201, 50, () => projectSky({ stars }, frame, projection, BOX, buffers));
  const nsPerStar = (ms * 1e6) / stars.count;

  const some = 2000;
  const observer = new Observer(44.4, -64.3, 0);
  const date = new Date("2029-09-09T01:00:00Z");
  const perStarMs = medianMs(5, 1, () => {
    let sum = 0;
    for (let i = 0; i < some; i++) {
      DefineStar(Body.Star1, (i * 0.618 * 24) % 24, -60 + (i % 120), 1000);
      const { ra, dec } = Equator(Body.Star1, date, observer, true, true);
      sum += Horizon(date, observer, ra, dec, "normal").altitude;
    }
    return sum;
  });
  return [
    {
      what: "star position against ERFA, 1900 to 2100, worst of all",
      measured: `${worstArcsec().toFixed(3)}"`,
      goal: '≤ 0.5"',
      reference: "tests/authorities/stars-erfa.json (ERFA 2.0.0, atco13)",
    },
    {
      what: `sky to ceiling, per star of ${stars.count}`,
      measured: `${nsPerStar.toFixed(1)} ns (${ms.toFixed(2)} ms a sky)`,
      goal: "≤ 80 ns",
      reference: `astronomy-engine per star: ${((perStarMs * 1e6) / some).toFixed(0)} ns`,
    },
  ];
}

function worstArcsec(): number {
  const file = new URL("../../tests/authorities/stars-erfa.json", import.meta.url);
  const { stars, skies } = JSON.parse(readFileSync(file, "utf8")) as Authority;
  const table = tableOf(stars);
  let worst = 0;
  for (const { utc, azimuthAltitudeDeg, ...place } of skies) {
    const frame = skyFrame(nightSchema.parse({ id: "x", place, moment: { utc }, refraction: false }));
    azimuthAltitudeDeg.forEach((expected, row) => {
      if (!expected) return;
      worst = Math.max(
        worst,
        separationArcsec(starSeenAt(table, frame, row), horizontalDirection(...expected)),
      );
    });
  }
  return worst;
}
