declare module "magvar" {
  export const MODEL_EPOCH: number;
  export const MODEL_VALID_UNTIL: number;
  /** Declination in degrees, east positive; height in km, `when` a decimal year. */
  export function magvar(latitude: number, longitude: number, altitude: number, when: number): number;
}
