/** Longest logo, as text: 150 kB of picture, so that it can stand in every job and firm's file. */
export const LONGEST_LOGO = 200_000;
/** How a logo is kept: a JPEG, whatever it was made from. */
export const LOGO_HEAD = "data:image/jpeg;base64,";

/** The bytes of a logo and its size; null where it is no whole JPEG head. Source of the markers: ITU-T T.81, annex B. */
export function readLogo(logo: string): { bytes: Uint8Array; widthPx: number; heightPx: number } | null {
  if (!logo.startsWith(LOGO_HEAD)) return null;
  let binary: string;
  try {
    binary = atob(logo.slice(LOGO_HEAD.length));
  } catch {
    return null;
  }
  const bytes = Uint8Array.from(binary, (c) => c.charCodeAt(0));
  const word = (at: number): number => ((bytes[at] ?? 0) << 8) | (bytes[at + 1] ?? 0);
  if (word(0) !== 0xffd8) return null;
  for (let at = 2; at + 9 < bytes.length; at += 2 + word(at + 2)) {
    const marker = word(at);
    if (marker < 0xff01 || word(at + 2) < 2) return null;
    // start of a frame, baseline to progressive; C4, C8 and CC are other things
    if (marker >= 0xffc0 && marker <= 0xffc2) {
      const [heightPx, widthPx] = [word(at + 5), word(at + 7)];
      return heightPx > 0 && widthPx > 0 ? { bytes, widthPx, heightPx } : null;
    }
  }
  return null;
}
