import type { LengthUnits } from "../../job/units.ts";

export const UNIT_OPTIONS: readonly { value: LengthUnits; label: string }[] = [
  { value: "ft-in", label: "ft in" },
  { value: "mm", label: "mm" },
  { value: "cm", label: "cm" },
  { value: "m", label: "m" },
];
