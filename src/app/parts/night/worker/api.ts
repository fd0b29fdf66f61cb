import type { NightFacts } from "../../../../choose/facts.ts";
import type { Proposal, SearchResult } from "../../../../choose/search.ts";
import type { Wish } from "../../../../choose/wish.ts";
import type { BoxUm, PointMm } from "../../../../geometry/types.ts";
import type { Job } from "../../../../job/schema.ts";
import type { Night } from "../../../../job/sections/sky.ts";
import type { Warning } from "../../../../job/faults.ts";
import type { Seat } from "../../../../scene/camera.ts";
import type { BoardFormat } from "../../../../sheets/board.ts";
import type { PlaceHit } from "../../../../sky/places.ts";
import type { Body, Instant, Projection } from "../../../../sky/types.ts";
import type { Answer, Meets } from "../../../worker/api.ts";

/** One look at a night's sky on the plan. */
export interface SkyRequest {
  night: Night;
  bearingDeg: number;
  /** Bounding box of the outline, micrometres. */
  room: BoxUm;
  /** What is to be filled with stars, micrometres on the plan: the room and some way round it. */
  box: BoxUm;
  /** Lines and names wanted. */
  figures: boolean;
  milkyWay: boolean;
  /** Something is being dragged: lines may have fewer corners, as long as nobody sees it. */
  moving: boolean;
  /** `stars` of an earlier picture, handed back to be filled again. */
  spare: Int32Array<ArrayBuffer> | null;
}

export interface SkyLabel {
  kind: "star" | "figure" | "cardinal";
  text: string;
  atMm: PointMm;
}

export interface SkyBody {
  body: Body;
  atMm: PointMm;
}

/** A sky as it lies on the plan, ready to be painted. */
export interface SkyPicture {
  instant: Instant;
  projection: Projection;
  sun: Body;
  /** Moon and planets, up or not. */
  bodies: Body[];
  /** Those that are up, on the plan. */
  bodiesMm: SkyBody[];
  /** Stars in the box, brightest first: x and y in micrometres on the plan, thousandths of a magnitude, x, y ... */
  stars: Int32Array<ArrayBuffer>;
  /** How many stars these are; the array may be longer. */
  count: number;
  /** Polylines that touch the room, in mm on the plan: x, y, x, y ...; `ends` are the indices after each. */
  lines: Float32Array<ArrayBuffer>;
  ends: Uint32Array<ArrayBuffer>;
  horizon: PointMm[][];
  labels: SkyLabel[];
  /** Figures with their middle inside the room, in the order of the catalogue. */
  figuresInRoom: string[];
  /** Milky Way over a box of the plan, rows from the top (largest y) down; 0 to 255, 0 below the horizon. */
  glow: { columns: number; rows: number; level: Uint8Array<ArrayBuffer>; box: BoxUm };
}

/** The hours of one night, noon to noon by the mean Sun: what the band under the time slider shows. */
export interface NightHours {
  /** Julian date (UT) of the noon before. */
  noonJd: number;
  noon: Instant;
  /** Sun's altitude every 10 minutes from noon to noon, degrees. */
  sunDeg: Float32Array;
  evening: Record<"horizon" | "civil" | "nautical" | "astronomical", Instant | null>;
  morning: Record<"horizon" | "civil" | "nautical" | "astronomical", Instant | null>;
  lowestSunDeg: number;
  lowest: Instant;
  warnings: Warning[];
}

export type SceneMode = "strands" | "sky" | "lights-on";

export interface SceneRequest {
  job: Job;
  nightId: string;
  seat: Seat;
  widthPx: number;
  heightPx: number;
  samples: number;
  mode: SceneMode;
  /** Nights compared with this one: one exposure for the pictures of all. */
  beside: readonly string[];
  /** An SVG of figures and names wanted. */
  names: boolean;
  /** Its tiles are shared out already, so that strands have their lengths; else a first picture is wanted. */
  shared: boolean;
}

/** What is told of a scene when it is ready to be rendered. */
export interface SceneReady {
  widthPx: number;
  heightPx: number;
  holes: number;
  twinkles: boolean;
  /** Of the strands: the job's usual one for all, from the bundles, or usual until tiles are shared out. */
  lengths: "usual" | "bundled" | "awaited";
  /** Strands shown at the job's usual length. */
  usualLengths: number;
  /** Brightest strands on the picture, brightest first: where they must shine. */
  brightest: { name: string; xPx: number; yPx: number }[];
  overlaySvg: string | null;
}

export interface NightProgress {
  (share: number, words: string): void;
}

/** What the night part asks of its own workers. */
export interface NightApi extends Meets {
  sky(request: SkyRequest): Promise<Answer<SkyPicture>>;
  hours(night: Night): Answer<NightHours>;
  searchPlaces(text: string, limit: number): Promise<PlaceHit[]>;
  nearestPlace(latDeg: number, lonDeg: number): Promise<PlaceHit | null>;
  figureNames(): Promise<{ abbreviation: string; name: string }[]>;
  facts(job: Job, nightId: string): Promise<Answer<NightFacts>>;
  /** Works a scene out under a name of the page's choosing; an older one of that name goes. */
  prepareScene(key: string, request: SceneRequest): Promise<Answer<SceneReady>>;
  dropScene(key: string): void;
  /** One frame, RGBA; `spare` is a frame handed back. null when there is no such scene. */
  frame(key: string, timeS: number, dimmer: number, spare: ArrayBuffer | null): Uint8ClampedArray | null;
  search(job: Job, wish: Wish, onProgress: NightProgress): Promise<Answer<SearchResult>>;
  /** One seat, one dimmer, two to four nights. */
  board(job: Job, nightIds: string[], seat: Seat, format: BoardFormat): Promise<Answer<MadeBoard>>;
  /** The one page a client signs, as a PDF. */
  skySheet(job: Job, nightId: string): Promise<Answer<MadePage>>;
}

/** A page, and what it could not show. */
export interface MadePage {
  pdf: Uint8Array;
  warnings: string[];
}

/** A board as PDF, and its pages as SVG for the page to draw a PNG from. */
export interface MadeBoard extends MadePage {
  svgs: string[];
  widthPx: number;
  heightPx: number;
}

export type { BoardFormat, NightFacts, PlaceHit, Proposal, Seat, Wish };
