import type { Code } from "../job/codes.ts";
import type { Fault, Warning } from "../job/faults.ts";

/** What the sheets of a job take. */
export interface PaperFacts {
  /** Full-size sheets to place on tiles, one side of each. */
  placed: number;
  /** Holes measured from the coordinate list instead. */
  listedHoles: number;
  /** To be printed, all sides; `rollM` where it comes off a roll. */
  papers: { name: string; sheets: number; rollM: number | null }[];
}

/** Where nothing is printed, or nobody has counted. */
export const NO_PAPER: PaperFacts = { placed: 0, listedHoles: 0, papers: [] };

/** What bundles tell the takeoff: nothing here knows how strands were shared out. */
export interface StrandFacts {
  strands: {
    tile: string;
    diameterMm: number;
    lengthM: number;
    /** Comes cut, with its engine; else it is cut from a reel. */
    kit: boolean;
    /** Letter of the engine that feeds it; absent where nothing is bundled yet. */
    engine?: string;
  }[];
  /** To punch: fewer than strands, where several share one. */
  holes: number;
  tails: number;
  engines: number;
  /** Cut strands that come with an engine, by engine. */
  kits: { engine: string; lots: { diameterMm: number; lengthM: number; count: number }[] }[];
  /** Hangers of the runs, at least. */
  supports: number;
  paper: PaperFacts;
  /** Spares that were used since, as the record tells. */
  used?: readonly { diameterMm: number; lengthM: number; engine: string; count: number; tiles: string[] }[];
  /** Sheets of labels for tails and tiles. */
  labelSheets: number;
  /** True where nobody bundled yet and every strand got the scene's usual length. */
  assumed: boolean;
}

/** A piece of fabric for one tile. Sizes in whole micrometres; the pile runs along the roll. */
export interface Blank {
  /** Tile name, or "spare 1". */
  name: string;
  acrossUm: number;
  alongUm: number;
}

export interface PlacedBlank extends Blank {
  /** From the roll's left usable edge, and from its beginning. */
  xUm: number;
  yUm: number;
}

/** Where each blank is cut from the roll: straight cuts across, then along, then across; nothing turned. */
export interface CutPlan {
  rollUm: number;
  usableUm: number;
  placed: PlacedBlank[];
  lengthUm: number;
  /** No cut plan of these blanks can be shorter. */
  leastUm: number;
  /** Wider than the roll. */
  tooWide: Blank[];
}

export interface TileWeight {
  tile: string;
  areaM2: number;
  /** Fabric, adhesive, strands and glue. */
  addedKg: number;
  addedKgPerM2: number;
  totalKg: number;
  /** On the main runners beside it. */
  loadKgPerM: number;
}

export interface Task {
  name: string;
  quantity: number;
  unit: string;
  /** "90 holes an hour" */
  rate: string;
  /** Person-hours; null where its rate is 0. */
  personH: number | null;
}

export interface Hours {
  tasks: Task[];
  personH: number;
  /** By as many people as the job names. */
  clockH: number;
  /** Over the work on strands alone, from poking to the dark test: FACTS.strandsPerPersonH on a first job. */
  strandsPerPersonH: number;
  /** Over everything, from the survey to the dark test. */
  allInStrandsPerPersonH: number;
}

/** A line of the order: what to have on the van before the work starts. */
export interface OrderLine {
  item: string;
  detail: string;
  quantity: number;
  unit: string;
  /** Where the quantity comes from. */
  source: string;
}

export interface QuoteLine {
  what: string;
  quantity: number;
  unit: string;
  /** In the currency's smallest unit. */
  eachMinor: number;
  totalMinor: number;
}

export interface Quote {
  currency: string;
  lines: QuoteLine[];
  contingencyMinor: number;
  netMinor: number;
  taxMinor: number;
  grossMinor: number;
  /** What is used and has no price, so that it is in no sum. */
  unpriced: string[];
}

export interface Takeoff {
  cutPlan: CutPlan;
  fabricM: number;
  order: OrderLine[];
  weights: TileWeight[];
  hours: Hours;
  quote: Quote;
  faults: (Fault & { code: Code })[];
  warnings: Warning[];
}
