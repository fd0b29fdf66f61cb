/**
 * Cuts the VSOP87B planetary series (Bretagnon and Francou 1988, Astron. Astrophys. 202, 309; carried by the
 * npm package astronomia, MIT) to what a ceiling needs, and writes src/sky/planetSeries.ts.
 * Run: npx tsx scripts/sky-series.ts
 */
import { writeFileSync } from "node:fs";
import earth from "astronomia/data/vsop87Bearth";
import jupiter from "astronomia/data/vsop87Bjupiter";
import mars from "astronomia/data/vsop87Bmars";
import mercury from "astronomia/data/vsop87Bmercury";
import saturn from "astronomia/data/vsop87Bsaturn";
import venus from "astronomia/data/vsop87Bvenus";

/** Terms smaller than this (radians, or parts of the distance) between 1800 and 2200 are left out. */
const SMALLEST = 1e-6;
const MILLENNIA = 0.2;

const planets = { mercury, venus, earth, mars, jupiter, saturn };
type Series = (typeof planets)["earth"];

function cut(series: Series, key: "L" | "B" | "R"): string[] {
  const size = key === "R" ? series.R["0"]![0]![0] : 1;
  return Object.keys(series[key]).map((power) =>
    series[key][power]!.filter(([a]) => (Math.abs(a) / size) * MILLENNIA ** Number(power) > SMALLEST)
      .map(([a, b, c]) => `${Number(a.toFixed(10))} ${Number(b.toFixed(7))} ${Number(c.toFixed(7))}`)
      .join(" "),
  );
}

const lines = Object.entries(planets).map(([name, series]) => {
  const [L, B, R] = (["L", "B", "R"] as const).map((key) => JSON.stringify(cut(series, key)));
  return `  ${name}: { L: ${L}, B: ${B}, R: ${R} },\n`;
});
writeFileSync(
  new URL("../src/sky/planetSeries.ts", import.meta.url),
  `// Made by scripts/sky-series.ts from VSOP87B; do not edit. Amplitude, phase, frequency; one string a power of time.
// prettier-ignore
export const planetSeries = {
${lines.join("")}};
`,
);
