/** The drawing (DXF) that was opened last, until the person has taken its survey or put it away. */
export const openedDrawing = $state<{ current: { name: string; bytes: Uint8Array } | null }>({
  current: null,
});

/** Whether a file is a drawing, by its name or by how every DXF in text form begins (a comment or a section). */
export function isDrawing(name: string, bytes: Uint8Array): boolean {
  if (/\.(dxf|dwg)$/i.test(name)) return true;
  const begin = new TextDecoder("latin1").decode(bytes.subarray(0, 64));
  return /^\s*(0\s*\r?\n\s*SECTION|999\s*\r?\n)|^AutoCAD Binary DXF/.test(begin);
}
