import type { Fault } from "../../job/faults.ts";

/** The file that was refused last, with its faults, until the person has read them. */
export const refusedFile = $state<{ current: { name: string; faults: Fault[] } | null }>({ current: null });
