import type { PointMm } from "../geometry/types.ts";
import { holeMm, type Strung } from "../pattern/packing.ts";
import { GREY, WEIGHT, type Item, type Stroke } from "../drawing/drawing.ts";

/** What surrounds the dot of a hole. Printed without colour, the shape alone tells the strand's diameter. */
const SHAPES = ["cross", "circle", "square", "triangle", "diamond"] as const;
export type Shape = (typeof SHAPES)[number];

export interface MarkStyle {
  shape: Shape;
  /** Circles round the shape: with more diameters than shapes, the shapes come round again with one more. */
  rings: number;
  /** 1, or less where holes lie so close that full marks would touch. */
  scale: number;
}

/** Half the width of a mark at scale 1 without rings, mm. */
const REACH_MM = 2.3;
const RING_STEP_MM = 0.7;
/** Room between two marks at the smallest spacing, as a share of it. */
const ROOM = 0.92;

/** A style for each diameter, thinnest first. `spacingMm` is the job's smallest distance between holes. */
export function markStyles(diametersMm: Iterable<number>, spacingMm: number): Map<number, MarkStyle> {
  const sorted = [...new Set(diametersMm)].sort((a, b) => a - b);
  const mostRings = Math.floor(Math.max(0, sorted.length - 1) / SHAPES.length);
  const scale = Math.min(1, (spacingMm * ROOM) / 2 / (REACH_MM + mostRings * RING_STEP_MM));
  return new Map(
    sorted.map((diameter, i) => [
      diameter,
      { shape: SHAPES[i % SHAPES.length]!, rings: Math.floor(i / SHAPES.length), scale },
    ]),
  );
}

/** Half the width of the whole mark, mm. */
export function reachMm({ rings, scale }: MarkStyle): number {
  return (REACH_MM + rings * RING_STEP_MM) * scale;
}

/** Layer of the holes of one size: in a DXF the circles on it are the holes as drilled. */
export const holeLayer = (hole: Strung): string => `HOLES-${holeMm(hole).toFixed(2)}`;

/**
 * The mark of one hole: a black dot of the strand's own diameter, the shape about it, white beneath. A hole of several
 * strands has a ring of what to drill round the dot.
 */
export function drawMark(centre: PointMm, strung: Strung, style: MarkStyle): Item[] {
  const stroke: Stroke = { widthMm: WEIGHT.medium, grey: GREY.black };
  const layer = "MARKS";
  const items: Item[] = [
    { kind: "circle", layer, centre, radiusMm: reachMm(style) + 0.3 * style.scale, fillGrey: GREY.white },
    ...outline(centre, style, stroke, layer),
  ];
  for (let ring = 1; ring <= style.rings; ring++) {
    const radiusMm = (REACH_MM + ring * RING_STEP_MM) * style.scale;
    items.push({ kind: "circle", layer, centre, radiusMm, stroke });
  }
  // The dot never covers the shape, even where both are drawn very small.
  const dot = { kind: "circle", centre, radiusMm: strung.diameterMm / 2, fillGrey: GREY.black } as const;
  const hole = holeLayer(strung);
  if (strung.strands === 1) items.push({ ...dot, layer: hole });
  else
    items.push(
      { ...dot, layer },
      { kind: "circle", layer: hole, centre, radiusMm: holeMm(strung) / 2, stroke },
    );
  return items;
}

function outline([x, y]: PointMm, { shape, scale }: MarkStyle, stroke: Stroke, layer: string): Item[] {
  const at = (dx: number, dy: number): PointMm => [x + dx * scale, y + dy * scale];
  const closed = (...ring: PointMm[]): Item[] => [
    { kind: "path", layer, rings: [ring], closed: true, stroke },
  ];
  switch (shape) {
    case "cross": {
      const inner = 0.75;
      const arms: PointMm[][] = [
        [at(-REACH_MM, 0), at(-inner, 0)],
        [at(inner, 0), at(REACH_MM, 0)],
        [at(0, -REACH_MM), at(0, -inner)],
        [at(0, inner), at(0, REACH_MM)],
      ];
      return [{ kind: "path", layer, rings: arms, closed: false, stroke }];
    }
    case "circle":
      return [{ kind: "circle", layer, centre: [x, y], radiusMm: 1.9 * scale, stroke }];
    case "square":
      return closed(at(-1.65, -1.65), at(1.65, -1.65), at(1.65, 1.65), at(-1.65, 1.65));
    case "triangle":
      return closed(at(-1.99, -1.15), at(1.99, -1.15), at(0, 2.3));
    case "diamond":
      return closed(at(0, -2.3), at(2.3, 0), at(0, 2.3), at(-2.3, 0));
  }
}

/** A hole that another page carries: to check the register of the pages, not to punch. */
export function drawGhost(centre: PointMm, style: MarkStyle): Item[] {
  const stroke: Stroke = { widthMm: WEIGHT.thin, grey: GREY.mid, dashMm: [0.5, 0.5] };
  return [{ kind: "circle", layer: "GHOSTS", centre, radiusMm: 1.5 * style.scale, stroke }];
}
