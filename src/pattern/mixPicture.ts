import type { Ceiling } from "../ceiling/types.ts";
import type { Mix } from "./advice.ts";

/** Width of the smallest star of a picture, in thousandths of the ceiling's longer side. */
const LEAST = 1.5;
const SPACE = { sky: "#0a0f1d", star: "#ffffff" } as const;

/**
 * A mix as the ceiling looking up, without its tees: every star a disc whose area goes with its light. `mostLight` is
 * that of the brightest star of all pictures that stand side by side, so that all have one scale.
 */
export function mixPicture(
  { dots }: Pick<Mix, "dots">,
  { outline, box }: Ceiling,
  mostLight: number,
): string {
  const [width, height] = [box.maxX - box.minX, box.maxY - box.minY];
  const unit = Math.max(width, height) / 1000;
  // Looking up, east and west change places: the picture is the plan turned over.
  const at = (xUm: number, yUm: number) => `${box.maxX - xUm} ${box.maxY - yUm}`;
  const rings = outline.map((ring) => `M${ring.map(({ x, y }) => at(x, y)).join("L")}Z`).join("");
  const stars = dots.map(({ xUm, yUm, light }) => {
    const radius = Math.max(LEAST / 2, 9 * Math.sqrt(light / mostLight)) * unit;
    return `<circle cx="${box.maxX - xUm}" cy="${box.maxY - yUm}" r="${Math.round(radius)}"/>`;
  });
  return (
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}">` +
    `<path d="${rings}" fill="${SPACE.sky}"/><g fill="${SPACE.star}">${stars.join("")}</g></svg>`
  );
}

/** Light of the brightest star of some mixes. */
export const mostLightOf = (mixes: readonly Pick<Mix, "dots">[]): number =>
  mixes.reduce((most, { dots }) => dots.reduce((m, { light }) => Math.max(m, light), most), 1);
