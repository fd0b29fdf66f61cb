import { UM_PER_MM } from "../geometry/um.ts";
import { JobFaults } from "./faults.ts";
import { parseQuantity } from "./quantity.ts";

/** How lengths are shown and typed. */
export type LengthUnits = "mm" | "cm" | "m" | "ft-in";

const SIXTEENTHS_PER_MM = 16 * 5; // over 127: 1 in = 25.4 mm = 127/5 mm exactly (agreement of 1959)

/**
 * A typed length in millimetres: `2.5 m`, `1 200 mm`, `8' 3 1/2"`, `8ft 3in`, `99 1/2 in`. A bare number is
 * read in `units` (in inches for ft-in). Throws JobFaults with `path` and what to type instead.
 */
export function parseLength(text: string, units: LengthUnits, path = "length"): number {
  const result = parseQuantity(text, units === "ft-in" ? "in" : units);
  if ("mm" in result) return result.mm;
  throw new JobFaults([{ path, expected: "a length", got: shortened(text), next: result.next }]);
}

const shortened = (text: string) => `'${text.length > 40 ? `${text.slice(0, 40)}...` : text}'`;

/**
 * A length as a person reads it, with its unit: `609.6 mm`, `60.96 cm`, `3.6096 m` to the micrometre, or
 * `2' 0"`, `8' 3 1/2"` to the nearest 1/16 in. In a room of metres what is shorter than one is told in millimetres, as
 * every rule shows it. Throws RangeError where it isn't finite.
 */
export const formatLength = (mm: number, units: LengthUnits): string =>
  lengthAsTyped(mm, units === "m" && Math.abs(mm) < 1000 ? "mm" : units);

/** The size of a part (module, tile, tee, clearance, step of a rule): millimetres wherever the job measures in metric. */
export const partWords = (mm: number, units: LengthUnits): string =>
  formatLength(mm, units === "ft-in" ? units : "mm");

/** What a shop rule of 25 mm or more is in the job's units: in feet the nearest whole inch, which a rule shows. */
export const ruleMm = (mm: number, units: LengthUnits): number =>
  units === "ft-in" ? (Math.round(mm / 25.4) * 254) / 10 : mm;

/** A length in the very unit that a bare number is read in, for fields that it is typed into: `0.6096 m`. */
export function lengthAsTyped(mm: number, units: LengthUnits): string {
  if (!Number.isFinite(mm)) throw new RangeError(`expected a length in mm, got ${mm}`);
  if (units === "ft-in") return formatFeet(mm);
  const um = Math.round(mm * UM_PER_MM) + 0;
  const digits = { mm: 3, cm: 4, m: 6 }[units];
  return `${decimal(um, digits)} ${units}`;
}

/** Whole micrometres with the point moved left by `digits`, no trailing zeros. No division, so no stray digits. */
function decimal(um: number, digits: number): string {
  const padded = String(Math.abs(um)).padStart(digits + 1, "0");
  const whole = padded.slice(0, -digits);
  const rest = padded.slice(-digits).replace(/0+$/, "");
  return `${um < 0 ? "-" : ""}${whole}${rest ? `.${rest}` : ""}`;
}

function formatFeet(mm: number): string {
  const sixteenths = Math.round((Math.abs(mm) * SIXTEENTHS_PER_MM) / 127);
  const sign = mm < 0 && sixteenths ? "-" : "";
  const feet = Math.floor(sixteenths / 192);
  const inches = Math.floor((sixteenths % 192) / 16);
  const part = fraction(sixteenths % 16);
  const whole = feet || inches || !part ? [String(inches)] : [];
  const inchText = `${[...whole, ...(part ? [part] : [])].join(" ")}"`;
  return `${sign}${feet ? `${feet}' ` : ""}${inchText}`;
}

/** Sixteenths in lowest terms: 8 gives 1/2. */
function fraction(sixteenths: number): string {
  if (sixteenths === 0) return "";
  let [above, below] = [sixteenths, 16];
  while (above % 2 === 0) [above, below] = [above / 2, below / 2];
  return `${above}/${below}`;
}

/** "50 mm (1 15/16")": for words of what must not depend on the job's units. */
export const inBothUnits = (mm: number): string => `${formatLength(mm, "mm")} (${formatFeet(mm)})`;

/** Metres of strand, run or fabric as people measure them: to the centimetre, or to the inch. */
export function metresInWords(metres: number, units: LengthUnits): string {
  if (units !== "ft-in") return `${+metres.toFixed(2)} m`;
  return formatFeet(Math.round((metres * 1000) / 25.4) * 25.4);
}

/** The international foot, exact since 1959. */
export const FOOT_M = 0.3048;

/**
 * How far a star stands from its place, as a rule shows it: to the sixteenth of an inch, or in millimetres also in rooms of
 * metres, tenths below ten.
 */
export const moveWords = (mm: number, units: LengthUnits): string =>
  units === "ft-in"
    ? formatFeet(mm)
    : formatLength(mm < 10 ? Math.round(mm * 10) / 10 : Math.round(mm), "mm");

/** Much strand or fabric in all: "7502 m", "24613 ft". */
export const muchInWords = (metres: number, units: LengthUnits): string =>
  units === "ft-in" ? `${Math.round(metres / FOOT_M)} ft` : `${Math.round(metres)} m`;

const SQUARE_FOOT_M2 = FOOT_M ** 2;

/** "21.7 m²", "234 sq ft". */
export const areaWords = (m2: number, units: LengthUnits): string =>
  units === "ft-in" ? `${Math.round(m2 / SQUARE_FOOT_M2)} sq ft` : `${+m2.toFixed(1)} m\u00B2`;

/** What people of these units count areas in, and how many square metres one of it is. */
export const areaUnits = (units: LengthUnits): { unit: string; m2: number } =>
  units === "ft-in" ? { unit: "sq ft", m2: SQUARE_FOOT_M2 } : { unit: "m\u00B2", m2: 1 };

/** The avoirdupois pound, exact since 1959. */
export const POUND_KG = 0.45359237;

/** A weight in the job's units: what it counts in, and how many kg, or kg/m2 and kg/m, one of it is. */
export function weightUnits(units: LengthUnits): {
  unit: string;
  kg: number;
  areal: string;
  kgPerM2: number;
  linear: string;
  kgPerM: number;
} {
  return units === "ft-in"
    ? {
        unit: "lb",
        kg: POUND_KG,
        areal: "lb/sq ft",
        kgPerM2: POUND_KG / SQUARE_FOOT_M2,
        linear: "lb/ft",
        kgPerM: POUND_KG / FOOT_M,
      }
    : { unit: "kg", kg: 1, areal: "kg/m\u00B2", kgPerM2: 1, linear: "kg/m", kgPerM: 1 };
}
