import { boxOf } from "../geometry/area.ts";
import type { Area, PointUm } from "../geometry/types.ts";
import { toMm, toUm } from "../geometry/um.ts";
import { JobFaults } from "../job/faults.ts";
import type { Issued, IssuedEntry, issuedTileSchema } from "../job/sections/issued.ts";
import type { SkyObjectId } from "../job/sections/pattern.ts";
import type { Hole, HoleKind } from "../pattern/types.ts";

/** The strands that a hole was given, and where their light comes from. */
export interface Run {
  engine: string;
  needM: number;
  /** One for each strand. */
  lengthsM: number[];
  channel: number | null;
  wheelDeg: number | null;
}

/** A hole as issued; without a run where no engine lit it then. */
export interface IssuedHole {
  hole: Hole;
  run: Run | null;
}

/** A tile as issued. */
export interface IssuedTile extends Pick<
  IssuedEntry,
  "tile" | "row" | "column" | "revision" | "on" | "sky" | "exchanged" | "lossDbPerM"
> {
  outline: Area;
  holes: IssuedHole[];
  tails: { engine: string; route: PointUm[] }[];
}

const KINDS: Record<HoleKind, string> = { star: "s", moon: "m", planet: "p", filler: "f" };
const KIND_OF = new Map(Object.entries(KINDS).map(([kind, letter]) => [letter, kind as HoleKind]));

/** What parts the columns can't stand in a name. */
const escaped = (words: string) => words.replace(/[%,;]/g, (sign) => `%${sign.charCodeAt(0).toString(16)}`);
const unescaped = (words: string) => words.replace(/%(25|2c|3b)/g, (_, code: string) => String.fromCharCode(parseInt(code, 16))); // prettier-ignore

const packPoints = (points: readonly PointUm[]) => points.map(({ x, y }) => `${x} ${y}`).join(",");

const COLUMNS = 16;

function packHole({ hole, run }: IssuedHole, datum: PointUm): string {
  const [x, y] = [toUm(hole.xMm), toUm(hole.yMm)];
  const thousandths = (value: number | null) => (value === null ? "" : String(Math.round(value * 1000)));
  return [
    hole.numberInTile,
    hole.id,
    `${KINDS[hole.kind]}${hole.star ?? ""}`,
    thousandths(hole.magnitude),
    thousandths(hole.colourBv),
    x - datum.x,
    y - datum.y,
    hole.trueXMm === null ? "" : toUm(hole.trueXMm) - x,
    hole.trueYMm === null ? "" : toUm(hole.trueYMm) - y,
    `${hole.diameterMm}x${hole.strands}`,
    `${hole.byHand ? "h" : ""}${hole.deeper ? "d" : ""}${hole.inFigure ? "f" : ""}`,
    hole.merged.join("+"),
    run ? `${run.engine}${run.channel ?? ""}` : "",
    run?.wheelDeg ?? "",
    run ? `${run.needM}=${packLengths(run.lengthsM)}` : "",
    escaped(hole.name),
  ].join(",");
}

/** Equal lengths, as most are, are written once. */
const packLengths = (lengths: readonly number[]) =>
  lengths.every((length) => length === lengths[0]) ? String(lengths[0]) : lengths.join("+");

/** A tile as the job file keeps it. */
export function packTile(tile: IssuedTile): IssuedEntry {
  const { minX, minY } = boxOf(tile.outline);
  const entry = {
    tile: tile.tile,
    row: tile.row,
    column: tile.column,
    revision: tile.revision,
    on: tile.on,
    sky: tile.sky,
    exchanged: tile.exchanged,
    lossDbPerM: tile.lossDbPerM,
    outlineUm: tile.outline.map(packPoints).join(";"),
    holes: tile.holes.map((hole) => packHole(hole, { x: minX, y: minY })).join(";"),
    tails: tile.tails.map(({ engine, route }) => ({ engine, routeUm: packPoints(route) })),
  };
  return { ...entry, check: checkOf(entry) };
}

type Packed = Pick<IssuedEntry, Exclude<keyof typeof issuedTileSchema.shape, "check">>;

/** FNV-1a, 32 bits: enough to tell a slip of the hand or a damaged file. */
function checkOf(entry: Packed): string {
  const { tile, row, column, revision, on, sky, exchanged, lossDbPerM, outlineUm, holes, tails } = entry;
  const runs = tails.map(({ engine, routeUm }) => [engine, routeUm]);
  const words = JSON.stringify([
    tile,
    row,
    column,
    revision,
    on,
    sky,
    exchanged,
    lossDbPerM,
    outlineUm,
    holes,
    runs,
  ]);
  let hash = 0x811c9dc5;
  for (let i = 0; i < words.length; i++) hash = Math.imul(hash ^ words.charCodeAt(i), 0x01000193);
  return (hash >>> 0).toString(16).padStart(8, "0");
}

const read = new WeakMap<Issued, IssuedTile[]>();

/** What was issued, by tile; [] where nothing was. Throws JobFaults where the file was changed or damaged. */
export function issuedTiles(issued: Issued | null): readonly IssuedTile[] {
  if (issued === null) return [];
  let tiles = read.get(issued);
  if (!tiles) {
    const names = issued.tiles.map(({ tile }) => tile);
    const twice = names.findIndex((name, i) => names.indexOf(name) < i);
    if (twice >= 0)
      throw damaged(`issued.tiles[${twice}].tile`, "each tile once", `${names[twice]} a second time`);
    tiles = issued.tiles.map((entry, i) => unpackTile(entry, `issued.tiles[${i}]`));
    read.set(issued, tiles);
  }
  return tiles;
}

const damaged = (path: string, expected: string, got: string): JobFaults =>
  new JobFaults([
    {
      path,
      expected,
      got,
      next: "What was issued is never edited by hand: open the file as it was saved last, or a copy of it.",
    },
  ]);

function unpackTile(entry: IssuedEntry, path: string): IssuedTile {
  const { tile, row, column, revision, on, sky, exchanged, lossDbPerM, outlineUm, holes, tails, check } =
    entry;
  const now = checkOf(entry);
  if (now !== check)
    throw damaged(path, `tile ${tile} as it was issued (check ${check})`, `something else (check ${now})`);
  const outline = outlineUm.split(";").map((ring) => unpackPoints(ring, `${path}.outlineUm`));
  const { minX, minY } = boxOf(outline);
  const rows = holes === "" ? [] : holes.split(";");
  return {
    ...{ tile, row, column, revision, on, sky, exchanged, lossDbPerM, outline },
    holes: rows.map((words) => unpackHole(words, tile, { x: minX, y: minY }, `${path}.holes`)),
    tails: tails.map(({ engine, routeUm }, i) => ({
      engine,
      route: unpackPoints(routeUm, `${path}.tails[${i}].routeUm`),
    })),
  };
}

function unpackPoints(words: string, path: string): PointUm[] {
  return words.split(",").map((pair) => {
    const found = /^(-?\d{1,9}) (-?\d{1,9})$/.exec(pair);
    if (!found) throw damaged(path, 'places as "x y" in whole micrometres', pair.slice(0, 40));
    return { x: Number(found[1]), y: Number(found[2]) };
  });
}

function unpackHole(words: string, tile: string, datum: PointUm, path: string): IssuedHole {
  const cells = words.split(",");
  const bad = () => damaged(path, `holes of ${COLUMNS} columns as Velarium writes them`, words.slice(0, 60));
  if (cells.length !== COLUMNS) throw bad();
  const whole = (cell: string): number => {
    if (!/^-?\d{1,9}$/.test(cell)) throw bad();
    return Number(cell);
  };
  const decimal = (cell: string): number => {
    if (!/^\d{1,6}(\.\d{1,12})?$/.test(cell)) throw bad();
    return Number(cell);
  };
  const thousandths = (cell: string) => (cell === "" ? null : whole(cell) / 1000);
  const [number, id, what, magnitude, colour, x, y, dx, dy, strung, flags, merged, engine, wheel, run, name] =
    cells as [string, string, string, string, string, string, string, string, string, string, string, string, string, string, string, string]; // prettier-ignore
  const kind = KIND_OF.get(what[0] ?? "");
  const [diameter, strands] = strung.split("x");
  const from = /^([A-Z]{1,2})(\d*)$/.exec(engine);
  const [need, lengths] = run.split("=");
  if (!kind || strands === undefined || (engine !== "" && (!from || lengths === undefined))) throw bad();
  const [xUm, yUm] = [datum.x + whole(x), datum.y + whole(y)];
  const [ex, ey] = dx === "" ? [0, 0] : [whole(dx), whole(dy)];
  const hole: Hole = {
    id: whole(id),
    tile,
    numberInTile: whole(number),
    kind,
    star: what.length > 1 ? whole(what.slice(1)) : null,
    name: unescaped(name),
    magnitude: thousandths(magnitude),
    colourBv: thousandths(colour),
    trueXMm: dx === "" ? null : toMm(xUm + ex),
    trueYMm: dx === "" ? null : toMm(yUm + ey),
    xMm: toMm(xUm),
    yMm: toMm(yUm),
    tileXMm: toMm(whole(x)),
    tileYMm: toMm(whole(y)),
    diameterMm: decimal(diameter!),
    strands: whole(strands),
    movedMm: toMm(Math.sqrt(ex * ex + ey * ey)),
    merged: merged === "" ? [] : merged.split("+").map((one) => objectOf(one, bad)),
    byHand: flags.includes("h"),
    deeper: flags.includes("d"),
    inFigure: flags.includes("f"),
  };
  if (!from) return { hole, run: null };
  const own = lengths!.split("+").map(decimal);
  return {
    hole,
    run: {
      engine: from[1]!,
      needM: decimal(need!),
      lengthsM: own.length === 1 ? new Array<number>(hole.strands).fill(own[0]!) : own,
      channel: from[2] === "" ? null : whole(from[2]!),
      wheelDeg: wheel === "" ? null : decimal(wheel),
    },
  };
}

const BODIES: readonly SkyObjectId[] = ["moon", "mercury", "venus", "mars", "jupiter", "saturn"];

function objectOf(words: string, bad: () => JobFaults): SkyObjectId {
  if (/^\d{1,9}$/.test(words)) return Number(words);
  const body = BODIES.find((name) => name === words);
  if (body === undefined) throw bad();
  return body;
}
