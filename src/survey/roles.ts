import type { Drawing, Role, Taken } from "./types.ts";

/**
 * What names of layers and blocks tell, the most telling first. The four-letter words in capitals are those of the US National
 * CAD Standard (Uniform Drawing System, AIA layer guidelines), seen: CLNG, GRID, SPRN, LITE, CDFF; from memory: TEES, SUSP, CLHD,
 * SMOK, EMER, EXIT, SDFF, RDFF, SPKR, CCTV, ACCS, OTLN, WALL, ANNO, DIMS. The other words are plain ones, common practice, no source.
 */
const TOLD: [Role, RegExp][] = [
  [
    "ignore",
    /^(DEFPOINTS|ANNO|DIMS?|NOTE|TEXT|TTLB|TITLE|SYMB|LEGN|LEGEND|FURN|DOOR|GLAZ|VPRT|VIEWPORT|PATT|HATCHING)$/,
  ],
  ["north", /^(NORTH|NARW|NORTHARROW|NORD|NORDPFEIL)$/],
  ["sprinkler", /^(SPRN|CLHD|SPRK|SPKLR?|SPRINK|SPRINKLERS?|SPRINKLERKOPF)$/],
  ["motion-detector", /^(PIR|MOTION|OCCUPANCY|OCCS|PRESENCE|MOVEMENT|BEWEGUNGSMELDER)$/],
  ["smoke-detector", /^(SMOK|SMOKE|HEAT|DETECT|DETECTORS?|DETECTION|DETR|FDET|RAUCHMELDER|MELDER)$/],
  ["exit-sign", /^(EXIT|EXITS|EXSN)$/],
  ["emergency-light", /^(EMER|EMERGENCY|EMLT|NOTLICHT|NOTLEUCHTE)$/],
  [
    "luminaire",
    /^(LITE|LTG|LED|LIGHTS?|LIGHTING|LUMINAIRES?|DOWNLIGHTS?|SPOTLIGHTS?|TROFFERS?|LAMPS?|LEUCHTEN?)$/,
  ],
  [
    "diffuser",
    /^(CDFF|SDFF|RDFF|DIFF|DIFFUSERS?|GRILLES?|REGISTERS?|VENTS?|SUPPLY|RETURN|EXHAUST|LUFTAUSLASS|DRALLAUSLASS)$/,
  ],
  ["speaker", /^(SPKR|SPEAKERS?|LOUDSPEAKERS?|SOUN|SOUND|LAUTSPRECHER)$/],
  ["camera", /^(CCTV|CAMERAS?|KAMERAS?)$/],
  ["hatch", /^(ACCS|ACCESS|HATCH|HATCHES|PANEL|REVISION(SKLAPPE)?|REVISIONSKLAPPEN?)$/],
  ["grid", /^(GRID|TEES?|TBAR|RUNNERS?|SUSP|RASTER|RASTERDECKE|MODULE)$/],
  [
    "outline",
    /^(OTLN|OUTLINES?|COLS?|COLUMNS?|STUETZEN?|STÜTZEN?|WALLS?|ROOMS?|PERIM|PERIMETER|PARTITIONS?|PRTN|BOUNDARY|BNDY|AREA|RAUM|WAND|WAENDE|WÄNDE|SPACE)$/,
  ],
  ["ignore", /^(FLOR|ROOF|STRS|PLUMB|PIPE|DUCT)$/],
  ["diffuser", /^(HVAC|AIR)$/],
];

/**
 * Elements of ISO 13567 names as coded by the SfB table that many offices use: (35) suspended ceilings, (57) air, (63) lighting,
 * (64) communication, (68) security. From memory: the standard fixes the place of the code in the name, not the table.
 */
const SFB: Record<string, Role> = {
  "35": "grid",
  "57": "diffuser",
  "63": "luminaire",
  "64": "speaker",
  "68": "smoke-detector",
};
/** How far the readings can be relied on, for whoever confirms them. */
export const NAMES_SOURCE =
  "Names are read by the US National CAD Standard and ISO 13567, in part from memory, and as plain words " +
  "(common practice, no source).";
/** Agent (2 characters), element (6), presentation (2) and what may follow. */
const ISO_13567 = /^[A-Z][A-Z0-9_-][A-Z0-9_-]?(\d\d)[A-Z0-9_-]{3,4}([A-Z_-][A-Z0-9_-])/;

/** What the things of a layer are taken for by its name, and which part of the name told. */
export function roleOfName(name: string): { role: Role; why: string } {
  // a name that came in by reference carries the file's name before a bar, or $0$ once it is bound
  const written = name.replace(/^.*(\||\$\d+\$)/, "");
  // words that only capitals part: LightFittings, PIRSensors
  const own = written
    .replace(/(\p{Ll})(\p{Lu})|(\p{Lu})(?=\p{Lu}\p{Ll})/gu, (_, low, high, last) =>
      last ? `${last} ` : `${low} ${high}`,
    )
    .toUpperCase();
  const words = own.split(/[^\p{L}]+/u).filter((word) => word !== "");
  // S-GRID and A-GRID are the building's axes, not the ceiling's tees
  const axes =
    /^(S|A)-GRID/.test(own) || /\b(AXIS|AXES)\b|\bCOL(S|UMNS?)? (GRID|LINES?)\b/.test(words.join(" "));
  if (axes) return { role: "ignore", why: "axes of the building" };
  for (const [role, telling] of TOLD) {
    const word = words.find((w) => telling.test(w) || (w.endsWith("S") && telling.test(w.slice(0, -1))));
    if (word) return { role, why: word };
  }
  const iso = ISO_13567.exec(written.toUpperCase());
  if (iso && SFB[iso[1]!]) {
    if (/^[TDA]/.test(iso[2]!)) return { role: "ignore", why: `ISO 13567, presentation ${iso[2]}` };
    return { role: SFB[iso[1]!]!, why: `ISO 13567, element ${iso[1]}, from memory` };
  }
  return { role: "unknown", why: "" };
}

/** Every layer and block of a drawing with what it is taken for; what a person said goes before the names. */
export function takenFor(drawing: Drawing, said: ReadonlyMap<string, Role> = new Map()): Taken[] {
  const layers = new Map(drawing.layers.map(({ name, hidden }) => [name, { hidden, pieces: 0 }]));
  const blocks = new Map<string, { hidden: boolean; pieces: number }>();
  for (const { layer } of drawing.pieces) {
    if (!layers.has(layer)) layers.set(layer, { hidden: false, pieces: 0 });
    layers.get(layer)!.pieces++;
  }
  for (const { block } of drawing.inserts) {
    if (!blocks.has(block)) blocks.set(block, { hidden: false, pieces: 0 });
    blocks.get(block)!.pieces++;
  }
  const rows = (what: Taken["what"], found: Map<string, { hidden: boolean; pieces: number }>): Taken[] =>
    [...found].map(([name, { hidden, pieces }]) => {
      const told = said.get(keyOf(what, name));
      const guess = roleOfName(name);
      // a block tells only what fitting it is; the rest is told by its layer
      const plain = what === "block" && ["outline", "grid", "ignore"].includes(guess.role);
      return {
        what,
        name,
        pieces,
        hidden,
        role: told ?? (plain ? "unknown" : guess.role),
        why: told ? "as said" : plain ? "" : guess.why,
      };
    });
  return [...rows("layer", layers), ...rows("block", blocks)];
}

/** How a layer or block is named where roles are said: `layer A-CLNG-GRID`. */
export const keyOf = (what: Taken["what"], name: string): string => `${what} ${name}`;
