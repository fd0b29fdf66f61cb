/** Lanczos' approximation of ln Gamma (g = 7, n = 9: Godfrey 2001), good to 15 digits for x > 0.5. */
const LANCZOS = [
  0.99999999999980993, 676.5203681218851, -1259.1392167224028, 771.32342877765313, -176.61502916214059,
  12.507343278686905, -0.13857109526572012, 9.9843695780195716e-6, 1.5056327351493116e-7,
];

function lnGamma(x: number): number {
  const z = x - 1;
  const t = z + 7.5;
  const sum = LANCZOS.reduce((total, c, i) => (i === 0 ? c : total + c / (z + i)), 0);
  return 0.5 * Math.log(2 * Math.PI) + (z + 0.5) * Math.log(t) - t + Math.log(sum);
}

const lnChoose = (n: number, k: number): number => lnGamma(n + 1) - lnGamma(k + 1) - lnGamma(n - k + 1);

/** log10 of the chance that of n independent tries, each with chance p, at least k succeed. */
export function log10Tail(n: number, k: number, p: number): number {
  if (k <= 0 || p >= 1) return 0;
  if (k > n || p <= 0) return -Infinity;
  const term = (i: number) => lnChoose(n, i) + i * Math.log(p) + (n - i) * Math.log1p(-p);
  // summed from the largest term on, relative to it
  const peak = Math.max(k, Math.min(n, Math.floor((n + 1) * p)));
  const top = term(peak);
  let sum = 0;
  for (let i = k; i <= n; i++) {
    const part = Math.exp(term(i) - top);
    sum += part;
    if (i > peak && part < 1e-17 * sum) break;
  }
  return Math.min(0, (top + Math.log(sum)) / Math.LN10);
}

/**
 * log10 of how many placings as good as this one chance alone would give (Moisan & Stival 2004: number of false
 * alarms). `agree` of `expected` places have a light within a circle that by chance holds one with `chance`;
 * four of them fixed the placing, and any four of the places on any four of the lights might have been tried.
 */
export function log10FalseAlarms(expected: number, agree: number, lights: number, chance: number): number {
  if (expected < 5 || agree < 5 || lights < 4) return 0;
  // four lights in any order
  const tries = (lnChoose(expected, 4) + lnChoose(lights, 4) + Math.log(24)) / Math.LN10;
  return tries + Math.log10(expected) + log10Tail(expected - 4, agree - 4, chance);
}
