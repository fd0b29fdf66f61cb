import { JobFaults } from "../job/faults.ts";

/** A pair of lines of a DXF file: group code and value, trimmed. */
export type Group = [code: number, value: string];

/** Larger drawings are refused rather than read for minutes. */
export const MAX_DRAWING_BYTES = 100_000_000;

/**
 * The group codes and values of a DXF text file, in order. Throws JobFaults where it is no such file, is the binary kind,
 * or ends early. Source: DXF Reference, "Group codes in numerical order": a file is pairs of lines and ends with 0 EOF.
 */
export function groupsOf(text: string, path: string): Group[] {
  if (text.length > MAX_DRAWING_BYTES)
    throw wrong(
      path,
      "a drawing of at most 100 MB",
      `${Math.round(text.length / 1e6)} MB`,
      "Save the ceiling plan alone.",
    );
  if (text.startsWith("AutoCAD Binary DXF") || /^AC10\d\d/.test(text))
    throw wrong(
      path,
      "a DXF in text form",
      "a binary drawing",
      "Save it as DXF (ASCII) in the program that drew it.",
    );
  if (/^\s*ISO-10303-21/.test(text) || /\.ifc(zip|xml)?$/i.test(path))
    throw wrong(
      path,
      "a drawing in DXF",
      "a building model (IFC)",
      "Open the model in the program that made it, or in any viewer that draws plans, and save the reflected ceiling plan of this storey as DXF. A PDF of that plan will do too: the studio lays it beneath, to trace over.",
    );
  if (text.startsWith("%PDF-"))
    throw wrong(path, "a drawing in DXF", "a PDF", "Ask for the plan as DXF, or open the PDF in the studio (Survey, Plan to trace) and trace over it."); // prettier-ignore
  const lines = text.split(/\r\n|\r|\n/);
  const groups: Group[] = [];
  for (let i = 0; i + 1 < lines.length; i += 2) {
    const code = lines[i]!.trim();
    if (!/^-?\d{1,4}$/.test(code))
      throw wrong(
        path,
        i === 0 ? "a DXF drawing" : `a group code in line ${i + 1}`,
        JSON.stringify(code.slice(0, 40)),
        i === 0 ? "Choose a file that ends in .dxf." : "The file is damaged: save it again.",
      );
    const value = lines[i + 1]!.trim();
    groups.push([Number(code), value]);
    if (code === "0" && value === "EOF") return groups;
  }
  throw wrong(
    path,
    "a drawing that ends with EOF",
    "one that breaks off",
    "The file is not whole: copy or save it again.",
  );
}

export function wrong(path: string, expected: string, got: string, next: string): JobFaults {
  return new JobFaults([{ path, expected, got, next }]);
}
