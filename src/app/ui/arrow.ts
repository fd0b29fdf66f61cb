/** To the right and upward. */
type Way = [number, number];

const WAYS: Readonly<Record<string, Way>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, 1],
  ArrowDown: [0, -1],
};

/** The arrow keys as a direction on the screen, y upward; null for other keys. */
export const arrow = ({ key }: KeyboardEvent): Way | null => WAYS[key] ?? null;
