import type { SkyBuffers } from "../../sky/project.ts";

/** The memory behind a projected sky, to be handed over instead of copied. */
export function columnBuffers({ hip, row, xUm, yUm, magnitudeMilli }: SkyBuffers): ArrayBuffer[] {
  return [hip, row, xUm, yUm, magnitudeMilli].map((column) => column.buffer as ArrayBuffer);
}
