import type { Placing } from "./locate.ts";

/** What the light at a planned place says. */
export type Verdict =
  | "lit"
  | "dim"
  | "dead"
  | "displaced"
  | "hidden"
  /** Dark as planned: no engine lights it. */
  | "unlit"
  | "not in the picture"
  | "unsure";

/** One strand's end as judged, from the picture that shows it best. */
export interface HoleVerdict {
  /** Hole.id */
  hole: number;
  tile: string;
  numberInTile: number;
  verdict: Verdict;
  /** Where its light is, less where it should be, on the plan seen from above; null where no light was measured. */
  dxMm: number | null;
  dyMm: number | null;
  /** Light beside what its neighbours lead to expect; 1 is as expected. null where it can't be told. */
  light: number | null;
  /** Clipped in the picture: its light is at least so much. */
  saturated: boolean;
  why: string;
  /** Which picture it was judged in, from 0; null where none shows it. */
  picture: number | null;
}

/** A tile that does not hang as planned. */
export interface TileFinding {
  tile: string;
  kind: "turned" | "exchanged" | "shifted";
  /** Turned by so much, counter-clockwise as seen looking up. */
  turnedDeg: 0 | 90 | 180 | 270;
  /** Whose pattern it shows. */
  showsTile: string;
  shiftMm: [number, number] | null;
  /** Lights that agree with this, of how many. */
  agree: number;
  of: number;
  /** log10 of how often chance would agree as well. */
  log10Chance: number;
  words: string;
}

/** Strands that are dark together. */
export interface DarkGroup {
  kind: "tail" | "engine" | "tile";
  /** "A-C4", "A" or "C4". */
  name: string;
  tiles: string[];
  engine: string | null;
  strands: number;
  words: string;
}

/** A light that is no strand of ours. */
export interface Stray {
  picture: number;
  xPx: number;
  yPx: number;
  /** Nearest place on the plan, seen from above. */
  xMm: number | null;
  yMm: number | null;
  tile: string | null;
  words: string;
}

export interface PictureReport {
  name: string;
  widthPx: number;
  heightPx: number;
  spots: number;
  spotSigmaPx: number;
  /** null where the plan was not found in it. */
  placing: Pick<Placing, "expected" | "lights" | "sigmaPx" | "sigmaMm" | "log10Chance"> | null;
  agree: number;
  /** In a sentence: what it shows, or why not and what to do. */
  words: string;
  next: string;
}

export interface DarkTest {
  pictures: PictureReport[];
  /** In the order of Hole.id. */
  holes: HoleVerdict[];
  tiles: TileFinding[];
  dark: DarkGroup[];
  strays: Stray[];
  counts: Record<Verdict, number>;
}

export const VERDICTS: readonly Verdict[] = [
  "lit",
  "dim",
  "dead",
  "displaced",
  "hidden",
  "unlit",
  "not in the picture",
  "unsure",
];
