/** Frees what an array holds now, not when somebody tidies up; it is empty from then on. Older engines wait for that. */
export function giveBack({ buffer }: { buffer: ArrayBufferLike }): void {
  (buffer as { transfer?: (length: number) => unknown }).transfer?.(0);
}
