import type { Job } from "../../../job/schema.ts";
import type { Edit } from "../edit.ts";

/**
 * The room, grid and fittings of a drawing in place of the job's own; a grid that the drawing does not show stays. Heights,
 * answers and the tile as measured, which no drawing tells, stay too; names of walls and uses of tiles go with the room that was.
 */
export function takeSurvey(
  job: Job,
  drawn: Job["ceiling"],
  { from, gridFound }: { from: string; gridFound: boolean },
): Edit {
  const { heightMm, voidMm, survey, bearingDeg, bearingFrom, magneticDeclinationDeg, grid } = job.ceiling;
  const bearing =
    drawn.bearingFrom === "drawing"
      ? {}
      : { bearingDeg, bearingFrom, ...defined({ magneticDeclinationDeg }) };
  const sameModule = drawn.grid.moduleMm.every((mm, i) => mm === grid.moduleMm[i]);
  const measured = defined({
    teeFaceMm: drawn.grid.teeFaceMm ?? grid.teeFaceMm,
    thicknessMm: grid.thicknessMm,
    wallAngleMm: grid.wallAngleMm,
    edgeKeepOutMm: grid.edgeKeepOutMm,
    tileMm: sameModule ? grid.tileMm : undefined,
  });
  const taken = gridFound ? { ...drawn.grid, ...measured } : { ...grid, originMm: "balanced" as const };
  return {
    name: `Use the survey from ${from}`,
    job: { ...job, ceiling: { ...drawn, ...bearing, ...defined({ heightMm }), voidMm, survey, grid: taken } },
  };
}

function defined<T extends object>(values: T): { [K in keyof T]?: NonNullable<T[K]> } {
  return Object.fromEntries(Object.entries(values).filter(([, value]) => value !== undefined)) as {
    [K in keyof T]?: NonNullable<T[K]>;
  };
}
