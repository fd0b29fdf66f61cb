import { markStyles, type Shape } from "../../../sheets/marks.ts";

/** How strands of one diameter look at the bench: the shape of the printed sheet, a colour, and a letter. */
export interface Look {
  shape: Shape;
  rings: number;
  /** Small letters from the thinnest on; engines have capitals. */
  letter: string;
  /** A colour of the bench, as a CSS variable. */
  colour: string;
}

const COLOURS = 5;

/** A look for each diameter, thinnest first, the shapes those of the sheets. */
export function looksOf(diametersMm: Iterable<number>, spacingMm: number): Map<number, Look> {
  const looks = [...markStyles(diametersMm, spacingMm)].map(
    ([diameter, { shape, rings }], i): [number, Look] => [
      diameter,
      { shape, rings, letter: String.fromCharCode(97 + (i % 26)), colour: `var(--strand-${i % COLOURS})` },
    ],
  );
  return new Map(looks);
}

/** Outline of a shape round (0, 0), y downward as on a screen. */
export function shapePath(shape: Shape, r: number): string {
  switch (shape) {
    case "cross":
      return `M${-r},0H${-r * 0.34}M${r * 0.34},0H${r}M0,${-r}V${-r * 0.34}M0,${r * 0.34}V${r}`;
    case "circle":
      return `M${-r * 0.83},0a${r * 0.83},${r * 0.83} 0 1 0 ${r * 1.66},0a${r * 0.83},${r * 0.83} 0 1 0 ${-r * 1.66},0Z`;
    case "square":
      return `M${-r * 0.72},${-r * 0.72}H${r * 0.72}V${r * 0.72}H${-r * 0.72}Z`;
    case "triangle":
      return `M0,${-r}L${r * 0.87},${r * 0.5}H${-r * 0.87}Z`;
    case "diamond":
      return `M0,${-r}L${r},0L0,${r}L${-r},0Z`;
  }
}
