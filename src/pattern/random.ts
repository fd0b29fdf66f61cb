/** A seeded source of chance: the same seed and stream give the same numbers in every engine. */
export interface Random {
  /** Next whole number of 32 bits. */
  next(): number;
  /** Evenly 0 <= n < limit, for limits up to 2^53. */
  below(limit: number): number;
}

/** Rounds thrown away after seeding, so that neighbouring seeds part company. */
const WARM_UP = 16;

/** `stream` keeps independent uses of one seed apart. Generator: sfc32 (Doty-Humphrey, PractRand). */
export function seededRandom(seed: number, stream = 0): Random {
  let a = seed | 0;
  let b = (seed ^ 0x9e3779b9) | 0;
  let c = stream | 0;
  let counter = 1;
  const next = () => {
    const out = (a + b + counter) | 0;
    counter = (counter + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = ((c << 21) | (c >>> 11)) + out;
    return out >>> 0;
  };
  for (let i = 0; i < WARM_UP; i++) next();
  const below = (limit: number) => {
    const share = ((next() >>> 5) * 2 ** 26 + (next() >>> 6)) / 2 ** 53;
    return Math.min(limit - 1, Math.floor(share * limit));
  };
  return { next, below };
}
