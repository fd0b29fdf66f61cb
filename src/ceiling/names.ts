/** Letters of a row counted from 0 at the top of the plan: A to Z, then AA, AB ... */
export function rowLetters(row: number): string {
  let letters = "";
  for (let n = row + 1; n > 0; n = Math.floor((n - 1) / 26))
    letters = String.fromCharCode(65 + ((n - 1) % 26)) + letters;
  return letters;
}

/** Name of a tile: row letters and column number; the second piece of a cell cut in two ends in -2. */
export function tileName(row: number, column: number, piece: number): string {
  return `${rowLetters(row)}${column + 1}${piece ? `-${piece + 1}` : ""}`;
}
