const empties: (() => void)[] = [];

/**
 * Whatever is shown or remembered of one job without being part of it is told here how it is emptied: when another job is
 * opened, the next client sees nothing of the last one.
 */
export function ofOneJob(empty: () => void): void {
  empties.push(empty);
}

export function emptyForNextJob(): void {
  for (const empty of empties) empty();
}
