/**
 * Plane geometry of the ceiling. Lengths here are WHOLE MICROMETRES, so that products stay exact in a
 * double (a ceiling up to 60 m across) and Node and a browser decide every comparison alike.
 */
export interface PointUm {
  x: number;
  y: number;
}

/** A closed ring without the repeated first point. Outer rings run counter-clockwise, holes clockwise. */
export type Ring = PointUm[];

/** An area as rings read by the even-odd rule; [] is the empty area. */
export type Area = Ring[];

export interface BoxUm {
  minX: number;
  minY: number;
  maxX: number;
  maxY: number;
}

/** [x, y] in millimetres, as written in the job. */
export type PointMm = [number, number];
