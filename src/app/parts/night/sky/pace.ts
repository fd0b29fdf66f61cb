/** Fewer pictures a second than this are a stutter, and a still picture is better. */
const FEWEST_A_SECOND = 10;
/** So many pictures are looked at. */
const LOOKED_AT = 24;

/**
 * Whether moving pictures keep up. Judged by the middle one of the last pauses between them, so that one long
 * pause (a hidden tab, another picture being made) says nothing.
 */
export class Pace {
  #pausesMs: number[] = [];
  #lastMs: number | null = null;

  /** Tells that a picture was shown; whether they come too slowly to go on. */
  shown(nowMs: number): boolean {
    if (this.#lastMs !== null) this.#pausesMs.push(nowMs - this.#lastMs);
    this.#lastMs = nowMs;
    if (this.#pausesMs.length < LOOKED_AT) return false;
    const middle = [...this.#pausesMs].sort((a, b) => a - b)[LOOKED_AT / 2] ?? 0;
    this.#pausesMs.shift();
    return middle > 1000 / FEWEST_A_SECOND;
  }

  /** The pictures stood still: what was before no longer counts. */
  rest(): void {
    this.#pausesMs = [];
    this.#lastMs = null;
  }
}
