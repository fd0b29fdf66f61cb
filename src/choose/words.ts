/** "A", "A and B", "A, B and C". */
export function listed(names: readonly string[]): string {
  if (names.length < 2) return names[0] ?? "";
  return `${names.slice(0, -1).join(", ")} and ${names[names.length - 1]}`;
}

/** Sixteen points of the compass; azimuth in degrees from north through east. */
const POINTS = "N NNE NE ENE E ESE SE SSE S SSW SW WSW W WNW NW NNW".split(" ");
export function compassPoint(azimuthDeg: number): string {
  return POINTS[((Math.round(azimuthDeg / 22.5) % 16) + 16) % 16]!;
}

/** "22:15" of "2029-09-08T22:15:00-03:00". */
export function clockOf(localIso: string): string {
  return localIso.slice(11, 16);
}

const MONTHS = "January February March April May June July August September October November December".split(
  " ",
);

/** "8 September 2029" of "2029-09-08T22:15:00-03:00". */
export function dateOf(localIso: string): string {
  return `${Number(localIso.slice(8, 10))} ${MONTHS[Number(localIso.slice(5, 7)) - 1]} ${localIso.slice(0, 4)}`;
}

/** "32 %". */
export function percent(share: number): string {
  return `${Math.round(100 * share)} %`;
}

/** "zenith", "S, 50° high". */
export function viewWords(view: { azimuthDeg: number; altitudeDeg: number }): string {
  if (view.altitudeDeg >= 89.5) return "the zenith";
  return `the ${compassPoint(view.azimuthDeg)}, ${Math.round(view.altitudeDeg)}° high`;
}
