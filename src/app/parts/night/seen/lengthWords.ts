import type { SceneReady } from "../worker/api.ts";

/** Which strand lengths a picture was made with, for the line under it. */
export function lengthWords(
  { lengths, usualLengths, holes }: Pick<SceneReady, "lengths" | "usualLengths" | "holes">,
  usualM: number,
): string {
  if (lengths === "awaited") return "Strand lengths are being worked out…";
  const usual = usualLengths === holes ? "every strand" : `${usualLengths} without an engine`;
  const taken = `${usual} taken as ${usualM} m long`;
  if (lengths === "usual") return taken.charAt(0).toUpperCase() + taken.slice(1);
  return usualLengths === 0 ? "Strand lengths from the bundles" : `Strand lengths from the bundles; ${taken}`;
}
