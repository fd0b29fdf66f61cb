import { parseString, toPolylines, type DxfEntity, type DxfFile } from "dxf";
import { arc, bulged } from "./curves.ts";
import { groupsOf, wrong, type Group } from "./groups.ts";
import { hatchLines, readHatch, type Hatch } from "./hatch.ts";
import type { Drawing, Piece, Point, Unit } from "./types.ts";

/** $INSUNITS of the DXF Reference, as far as rooms are drawn in them. */
const INSUNITS: Record<number, Unit> = { 1: "in", 2: "ft", 4: "mm", 5: "cm", 6: "m" };
const READ = new Set(
  "LINE LWPOLYLINE POLYLINE VERTEX SEQEND CIRCLE ARC ELLIPSE SPLINE SOLID HATCH INSERT TEXT MTEXT".split(" "),
);
/** Words that only describe or do not show in a drawing: nothing is missed without them. */
const SAYS_NOTHING = new Set("ATTDEF ATTRIB POINT VIEWPORT ENDBLK".split(" "));
/** The library takes these words for the structure of the file wherever they stand; a mark makes them mere names. */
const STRUCTURE = new Set(["TABLE", "ENDTAB", "BLOCK", "ENDBLK", "LAYER", "STYLE", "LTYPE", "VPORT"]);
const MARK = "\u2060";
const SECTIONS = new Set(["HEADER", "TABLES", "BLOCKS", "ENTITIES"]);
const MAX_DEPTH = 24;
const MAX_PIECES = 1_000_000;
const MAX_INSERTS = 100_000;

/** Plane affine map: x' = a x + c y + e, y' = b x + d y + f. */
type Placing = [a: number, b: number, c: number, d: number, e: number, f: number];
const HERE: Placing = [1, 0, 0, 1, 0, 0];
const MIRRORED: Placing = [-1, 0, 0, 1, 0, 0];

/**
 * Reads a DXF drawing and lays it out flat: every block at its place (nested, turned, mirrored, in rows), every curve as
 * a line, every hatch as its edge and its lines. Paper layouts are left out. What can't be read is counted.
 * Throws JobFaults where the file is no whole DXF or too large.
 */
export function readDrawing(text: string, path: string): Drawing {
  const groups = groupsOf(text, path);
  const { plain, hatches, types } = sorted(groups);
  const file = parsed(plain);
  // A block whose end is missing has no entities.
  if (!file?.blocks.every(({ entities }) => entities))
    throw wrong(
      path,
      "a DXF drawing",
      "one whose parts don't fit together",
      "The file is damaged: save it again.",
    );
  const layers = Object.entries(file.tables.layers).map(([name, { flags = 0, colorNumber = 7 }]) => ({
    name: bare(name),
    frozen: (flags & 1) !== 0,
    hidden: (flags & 1) !== 0 || colorNumber < 0,
  }));
  const frozen = new Set(layers.filter((layer) => layer.frozen).map(({ name }) => name));
  const blocks = new Map(file.blocks.map((block) => [block.name ?? "", block]));
  const drawing: Drawing = {
    stated: INSUNITS[file.header.insUnits ?? 0] ?? null,
    layers: layers.map(({ name, hidden }) => ({ name, hidden })),
    pieces: [],
    inserts: [],
    texts: [],
    notRead: [...types]
      .filter(([type]) => !READ.has(type) && !SAYS_NOTHING.has(type))
      .map(([type, count]) => ({ what: type, count })),
  };
  const missing = new Map<string, number>();
  const miss = (what: string): void => void missing.set(what, (missing.get(what) ?? 0) + 1);

  const lay = (
    entities: DxfEntity[],
    placing: Placing,
    within: { layer: string; blocks: string[]; inserts: number[] },
  ) => {
    for (const entity of entities) {
      if (entity.paperSpace || entity.visible === false) continue;
      const own = bare(entity.layer ?? "0");
      const layer = own === "0" && within.blocks.length > 0 ? within.layer : own;
      if (entity.type === "INSERT") insert(entity, placing, { ...within, layer });
      else if (entity.type === "TEXT" || entity.type === "MTEXT") {
        const at = finite([[entity.x ?? 0, entity.y ?? 0]], placing);
        if (at) drawing.texts.push({ layer, at: at[0]!, text: wordsOf(bare(entity.string ?? "")) });
      } else {
        const shapes = shapesOf(entity, hatches);
        if (shapes.length === 0 && READ.has(entity.type))
          miss(`${entity.type} on layer ${layer}, of a kind that is not read`);
        for (const shape of shapes) {
          const points = finite(shape.points, placing);
          if (!points) miss(`${entity.type} with a coordinate that is no number`);
          else
            drawing.pieces.push({
              ...shape,
              ...placed(shape, points, placing),
              layer,
              blocks: within.blocks,
              inserts: within.inserts,
            });
          if (drawing.pieces.length > MAX_PIECES)
            throw wrong(
              path,
              `at most ${MAX_PIECES.toLocaleString("en")} lines`,
              "more",
              "Save the ceiling plan alone.",
            );
        }
      }
    }
  };
  const insert = (
    entity: DxfEntity,
    placing: Placing,
    within: { layer: string; blocks: string[]; inserts: number[] },
  ) => {
    const name = entity.block ?? "";
    const block = blocks.get(name);
    if (frozen.has(within.layer)) return void miss(`blocks on the frozen layer ${within.layer}`);
    if (!block) return void miss(`block ${bare(name)}, which the file does not hold`);
    if (within.blocks.includes(bare(name)) || within.blocks.length >= MAX_DEPTH)
      return void miss(`block ${bare(name)} inside itself`);
    for (const place of placesOf(entity, block)) {
      const there = after(place, placing);
      const at = apply(there, [block.x ?? 0, block.y ?? 0]);
      const turnDeg = (Math.atan2(there[1], there[0]) * 180) / Math.PI;
      drawing.inserts.push({ layer: within.layer, block: bare(name), at, turnDeg });
      lay(block.entities, there, {
        layer: within.layer,
        blocks: [...within.blocks, bare(name)],
        inserts: [...within.inserts, drawing.inserts.length - 1],
      });
      if (drawing.inserts.length > MAX_INSERTS)
        throw wrong(
          path,
          `at most ${MAX_INSERTS.toLocaleString("en")} blocks`,
          "more",
          "Save the ceiling plan alone.",
        );
    }
  };
  lay(file.entities, HERE, { layer: "0", blocks: [], inserts: [] });
  drawing.notRead.push(...[...missing].map(([what, count]) => ({ what, count })));
  return drawing;
}

/** What the library makes of the text; null where it gives up. */
function parsed(text: string): DxfFile | null {
  try {
    return parseString(text);
  } catch {
    return null;
  }
}

/** Readies the groups for the library: hatches kept apart (by handle), structure words only where they are structure. */
function sorted(groups: Group[]): { plain: string; hatches: Map<string, Hatch>; types: Map<string, number> } {
  const hatches = new Map<string, Hatch>();
  const types = new Map<string, number>();
  const lines: string[] = [];
  let section = "";
  for (let i = 0; i < groups.length;) {
    let end = i + 1;
    while (end < groups.length && groups[end]![0] !== 0) end++;
    const type = groups[i]![1];
    if (type === "SECTION") section = groups[i + 1]?.[1] ?? "";
    if (type === "EOF") section = "";
    const drawn = section === "ENTITIES" || section === "BLOCKS";
    if (drawn && !["SECTION", "ENDSEC", "BLOCK", "ENDBLK"].includes(type))
      types.set(type, (types.get(type) ?? 0) + 1);
    if (SECTIONS.has(section)) {
      const part = groups.slice(i, end);
      if (type === "HATCH" && drawn) {
        const handle = `hatch ${hatches.size}`;
        hatches.set(handle, readHatch(part));
        part.splice(1, part.length, [5, handle], ...part.filter(([code]) => code === 8 || code === 67));
      }
      if (type === "ATTRIB" && drawn) part.splice(0, part.length, ...asText(part));
      part.forEach(([code, value], k) => {
        const structural = code === 0 || code === 9 || (code === 2 && k === 1 && type === "TABLE");
        lines.push(String(code), !structural && STRUCTURE.has(value) ? value + MARK : value);
      });
    }
    i = end;
  }
  return { plain: lines.join("\n"), hatches, types };
}

/** What was filled in at a block, a room's name on its tag, as the text it is seen as; one that is hidden says nothing. */
function asText(attribute: Group[]): Group[] {
  const first = (code: number): Group[] => attribute.filter((group) => group[0] === code).slice(0, 1);
  const hidden = (Number(first(70)[0]?.[1] ?? 0) & 1) !== 0;
  return [[0, hidden ? "ATTRIB" : "TEXT"], ...[5, 8, 67, 10, 20, 1].flatMap(first)];
}

const bare = (name: string): string => name.replaceAll(MARK, "");

/** The outlines of one entity in its own axes. */
function shapesOf(
  entity: DxfEntity,
  hatches: Map<string, Hatch>,
): Pick<Piece, "points" | "closed" | "round" | "filled">[] {
  const flip = entity.extrusionZ !== undefined && entity.extrusionZ < 0;
  const turned = (points: Point[]): Point[] => (flip ? points.map(([x, y]) => [-x, y]) : points);
  const centre: Point = [entity.x ?? 0, entity.y ?? 0];
  const { r = 0, startAngle = 0, endAngle = 0 } = entity;
  switch (entity.type) {
    case "LINE":
      return [{ points: [pointOf(entity.start), pointOf(entity.end)], closed: false }];
    case "LWPOLYLINE":
    case "POLYLINE": {
      if (entity.polygonMesh || entity.polyfaceMesh) return [];
      const corners = withoutRepeats(entity.vertices ?? []);
      const last = corners.at(-1);
      const back = corners.length > 3 && last && last.x === corners[0]!.x && last.y === corners[0]!.y;
      const closed = entity.closed === true || back === true;
      return [{ points: turned(bulged(back ? corners.slice(0, -1) : corners, closed)), closed }];
    }
    case "CIRCLE": {
      const points = turned(arc(centre, [r, 0], 1, 0, 2 * Math.PI).slice(0, -1));
      return [{ points, closed: true, round: { centre: turned([centre])[0]!, radius: r } }];
    }
    case "ARC": {
      const to = endAngle > startAngle ? endAngle : endAngle + 2 * Math.PI;
      return [{ points: turned(arc(centre, [r, 0], 1, startAngle, to)), closed: false }];
    }
    case "ELLIPSE": {
      const to = endAngle > startAngle ? endAngle : endAngle + 2 * Math.PI;
      const ratio = (flip ? -1 : 1) * (entity.axisRatio ?? 1);
      const whole = to - startAngle > 2 * Math.PI - 1e-6;
      const points = arc(centre, [entity.majorX ?? 0, entity.majorY ?? 0], ratio, startAngle, to);
      return [{ points: whole ? points.slice(0, -1) : points, closed: whole }];
    }
    case "SPLINE":
      if ((entity.controlPoints?.length ?? 0) < 2) return [];
      return toPolylines({ entities: [entity], blocks: [], tables: { layers: {} } }).polylines.map(
        ({ vertices }) => ({
          points: vertices,
          closed: entity.closed === true,
        }),
      );
    case "SOLID": {
      const [a, b, c, d] = (entity.corners ?? []).map((p): Point => [p.x ?? NaN, p.y ?? NaN]);
      const corners = [a, b, d, c].filter((p): p is Point => p !== undefined && Number.isFinite(p[0]));
      return corners.length > 2 ? [{ points: turned(corners), closed: true, filled: true }] : [];
    }
    case "HATCH": {
      const hatch = hatches.get(entity.handle ?? "");
      if (!hatch) return [];
      const mirror = (points: Point[]): Point[] =>
        hatch.extrusionZ < 0 ? points.map(([x, y]) => [-x, y]) : points;
      return [
        ...hatch.loops
          .filter((loop) => loop.length > 2)
          .map((loop) => ({ points: mirror(loop), closed: true, filled: true })),
        ...hatchLines(hatch).map((line) => ({ points: mirror(line), closed: false })),
      ];
    }
    default:
      return [];
  }
}

const pointOf = (p?: { x: number; y: number }): Point => [p?.x ?? NaN, p?.y ?? NaN];

function withoutRepeats<P extends { x: number; y: number }>(corners: P[]): P[] {
  return corners.filter((p, i) => i === 0 || p.x !== corners[i - 1]!.x || p.y !== corners[i - 1]!.y);
}

/** Where an insert puts its block: once, or once for each row and column. Source: DXF Reference, "INSERT" and "OCS". */
function placesOf(entity: DxfEntity, block: { x?: number; y?: number }): Placing[] {
  const { x = 0, y = 0, scaleX = 1, scaleY = 1, rotation = 0, extrusionZ = 1 } = entity;
  const { rowCount = 1, columnCount = 1, rowSpacing = 0, columnSpacing = 0 } = entity;
  const [cos, sin] = [Math.cos((rotation * Math.PI) / 180), Math.sin((rotation * Math.PI) / 180)];
  const [bx, by] = [(block.x ?? 0) * scaleX, (block.y ?? 0) * scaleY];
  const places: Placing[] = [];
  for (let row = 0; row < Math.max(1, rowCount); row++)
    for (let column = 0; column < Math.max(1, columnCount); column++) {
      if (places.length > MAX_INSERTS) return places;
      const [dx, dy] = [column * columnSpacing - bx, row * rowSpacing - by];
      const place: Placing = [
        cos * scaleX,
        sin * scaleX,
        -sin * scaleY,
        cos * scaleY,
        x + cos * dx - sin * dy,
        y + sin * dx + cos * dy,
      ];
      places.push(extrusionZ < 0 ? after(place, MIRRORED) : place);
    }
  return places;
}

/** First `p`, then `q`. */
function after(p: Placing, q: Placing): Placing {
  return [
    q[0] * p[0] + q[2] * p[1],
    q[1] * p[0] + q[3] * p[1],
    q[0] * p[2] + q[2] * p[3],
    q[1] * p[2] + q[3] * p[3],
    q[0] * p[4] + q[2] * p[5] + q[4],
    q[1] * p[4] + q[3] * p[5] + q[5],
  ];
}

const apply = ([a, b, c, d, e, f]: Placing, [x, y]: Point): Point => [a * x + c * y + e, b * x + d * y + f];

/** The points at their place, or null where one is no number. */
function finite(points: Point[], placing: Placing): Point[] | null {
  const there = points.map((p) => apply(placing, p));
  return there.every(([x, y]) => Number.isFinite(x) && Number.isFinite(y)) ? there : null;
}

/** A circle stays one only under a map that scales both axes alike. */
function placed(
  { round }: Pick<Piece, "round">,
  points: Point[],
  [a, b, c, d, ...rest]: Placing,
): Partial<Piece> {
  const [along, across] = [Math.hypot(a, b), Math.hypot(c, d)];
  if (!round) return { points };
  if (Math.abs(along - across) > 1e-6 * along) return { points, round: undefined };
  return {
    points,
    round: { centre: apply([a, b, c, d, ...rest], round.centre), radius: round.radius * along },
  };
}

/** The words of a text without its formatting codes. */
function wordsOf(text: string): string {
  return text
    .replace(/\\P|%%[uo]/gi, " ")
    .replace(/\\[ACcFfHLlOoQTWpXK][^;\\{}]*;?/g, "")
    .replace(/[{}]/g, "")
    .trim();
}
