/** Colours and dashes by which engines are told apart, each with its letter beside it. */
const COLOURS = 8;
const DASHES = ["", "9 4", "2 4", "12 4 2 4", "5 3"] as const;

/** Colour of the engine at that place in the list, as a CSS variable of tokens.css. */
export const engineColour = (index: number): string =>
  index < 0 ? "var(--madder)" : `var(--engine-${index % COLOURS})`;

/** Another dash for each of the first engines, so that grey prints and colour-blind eyes tell them apart. */
export const engineDash = (index: number): string => DASHES[Math.max(0, index) % DASHES.length]!;

/** Tails of different engines run side by side instead of on top of one another, in pixels. */
export const engineOffsetPx = (index: number, count: number): number =>
  (index - (count - 1) / 2) * Math.min(3, 12 / Math.max(1, count));
