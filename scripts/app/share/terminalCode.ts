import { renderUnicodeCompact } from "uqr";

/**
 * A QR code (ISO/IEC 18004) for a terminal, two rows of modules a line, with the four light modules around it that the
 * standard asks for. In colours of its own, dark on light, whatever the terminal's: readers expect it so. The blocks
 * are what is light.
 */
export function terminalCode(text: string): string {
  const lines = renderUnicodeCompact(text, { ecc: "M", border: 4 }).split("\n");
  return lines.map((line) => `\u001b[97;40m${line}\u001b[0m`).join("\n");
}
