/** A number as people type it: a comma or a point, a real minus, spaces; null when it is none. */
export function readNumber(text: string): number | null {
  const plain = text
    .replace(/[\s\u00A0\u202F]/g, "")
    .replace("\u2212", "-")
    .replace(",", ".");
  if (!/^[-+]?(\d+\.?\d*|\.\d+)$/.test(plain)) return null;
  return Number(plain);
}
