import type { Fact } from "../trade/fact.ts";
import { areaWords, formatLength, metresInWords, weightUnits, type LengthUnits } from "./units.ts";

/** Of what has other units in feet and inches. Fibre and what it is packed into is in mm everywhere. */
const IN_FEET: Record<string, (n: number) => string> = {
  mm: (mm) => formatLength(mm, "ft-in"),
  m: (metres) => metresInWords(metres, "ft-in"),
  m2: (m2) => areaWords(m2, "ft-in"),
  "kg/m2": (kg) => weight(kg, "areal", "kgPerM2"),
  "kg/m": (kg) => weight(kg, "linear", "kgPerM"),
};
const IN_MM = new Set(["bundles.engines[].portDiameterMm"]);

function weight(kg: number, unit: "areal" | "linear", one: "kgPerM2" | "kgPerM"): string {
  const feet = weightUnits("ft-in");
  return `${+(kg / feet[one]).toFixed(3)} ${feet[unit]}`;
}

/** "50 mm (usual 25 to 50)", or `2" (usual 1" to 2")`; shares in per cent. */
export function valueWords(
  { key, value, unit, range }: Pick<Fact, "key" | "value" | "unit" | "range">,
  units: LengthUnits,
): string {
  const inFeet = units === "ft-in" && !IN_MM.has(key ?? "") ? IN_FEET[unit] : undefined;
  const number = inFeet ?? ((n: number) => `${+(unit === "share" ? n * 100 : n).toFixed(3)}`);
  const tail =
    unit === "share" ? " %" : unit === "" || unit === "\u00B0" ? unit : ` ${unit.replace("m2", "m\u00B2")}`;
  const usual = range ? ` (usual ${number(range[0])} to ${number(range[1])})` : "";
  return `${number(value)}${inFeet ? "" : tail}${usual}`;
}
