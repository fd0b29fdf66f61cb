/** The drawing (DXF) that was opened last, until the person has taken its survey or put it away. */
export const openedDrawing = $state<{ current: { name: string; bytes: Uint8Array } | null }>({
  current: null,
});

/**
 * Whether a file is a drawing, by its name or by how every DXF in text form begins (a comment or a section). What is one and
 * can't be read, a building model (IFC) or a DWG, is told what to do instead by the reader of drawings.
 */
export function isDrawing(name: string, bytes: Uint8Array): boolean {
  if (/\.(dxf|dwg|ifc|ifczip|ifcxml)$/i.test(name)) return true;
  const begin = new TextDecoder("latin1").decode(bytes.subarray(0, 64));
  return /^\s*(0\s*\r?\n\s*SECTION|999\s*\r?\n)|^AutoCAD Binary DXF|^\s*ISO-10303-21/.test(begin);
}
