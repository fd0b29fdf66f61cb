declare module "tz-lookup" {
  /** IANA zone of a place; throws a RangeError off the globe. */
  export default function tzLookup(latDeg: number, lonDeg: number): string;
}
