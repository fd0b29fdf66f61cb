import { NO_GO, type NoGoKind } from "../../../../job/noGoKinds.ts";
import { formatLength, type LengthUnits } from "../../../../job/units.ts";
import type { Survey } from "../../../../survey/survey.ts";
import { ROLES, type Point, type Role, type Unit } from "../../../../survey/types.ts";

const OTHER_ROLES: Record<Exclude<Role, NoGoKind>, string> = {
  outline: "Walls of the room",
  grid: "Tees of the grid",
  north: "North arrow",
  ignore: "Nothing: leave it out",
  unknown: "Not known",
};

export const roleWords = (role: Role): string =>
  role in OTHER_ROLES ? OTHER_ROLES[role as keyof typeof OTHER_ROLES] : NO_GO[role as NoGoKind].label;

export const ROLE_OPTIONS = ROLES.map((role) => ({ value: role, label: roleWords(role) }));

/** How the drawing's lines are coloured: by what they are to the survey. */
export function lookOf(role: Role): "outline" | "grid" | "fitting" | "none" {
  if (role === "outline" || role === "grid") return role;
  return role === "ignore" || role === "unknown" || role === "north" ? "none" : "fitting";
}

export const UNIT_WORDS: Record<Unit, string> = {
  mm: "millimetres",
  cm: "centimetres",
  m: "metres",
  in: "inches",
  ft: "feet",
};

/** The units in which people speak of a room that was drawn in this unit. */
export const unitsOf = (unit: Unit): LengthUnits => (unit === "in" || unit === "ft" ? "ft-in" : "m");

export function sizeWords([width, depth]: Point, unit: Unit): string {
  const metres = (mm: number): string => `${(mm / 1000).toFixed(2)} m`;
  const words = (mm: number): string => (unitsOf(unit) === "m" ? metres(mm) : formatLength(mm, "ft-in"));
  return `${words(width)} × ${words(depth)}`;
}

/** The module of a grid, in the units its people order tiles by. */
export const moduleWords = (moduleMm: Point, unit: Unit): string =>
  unitsOf(unit) === "m" ? `${moduleMm.join(" × ")} mm` : sizeWords(moduleMm, unit);

/** What only the person can say before the survey can be taken; "" when nothing. */
export const ASKED: Record<NonNullable<Survey["ask"]>, string> = {
  outline: "No room was found. Say below which layer holds its walls or its tees.",
  room: "Which room is it? Pick its picture.",
  unit: "Which of these sizes does the room have? The drawing’s own unit can’t be right, or is missing.",
};

/** "2 × sprinkler head, 5 × luminaire". */
export function fittingWords(kinds: readonly NoGoKind[]): string {
  const counts = new Map<NoGoKind, number>();
  for (const kind of kinds) counts.set(kind, (counts.get(kind) ?? 0) + 1);
  const said = [...counts].map(([kind, n]) => `${n} × ${NO_GO[kind].label.toLowerCase()}`);
  return said.join(", ") || "none found";
}

/** A drawn room by what the drawing calls it, or by its number. */
export const roomName = (number: number, name: string): string => name || `Room ${number}`;
