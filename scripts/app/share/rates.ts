/** How often somebody may ask: so many at once, and so many a second in the long run. */
export class Rates {
  private readonly atOnce: number;
  private readonly perSecond: number;
  private readonly buckets = new Map<string, { left: number; atMs: number }>();

  constructor(atOnce: number, perSecond: number) {
    this.atOnce = atOnce;
    this.perSecond = perSecond;
  }

  /** Whether `who` may ask now; 0, or the seconds to wait. */
  waitS(who: string, nowMs: number): number {
    if (this.buckets.size > 10_000) this.forgetFull(nowMs);
    const left = this.leftFor(who, nowMs);
    this.buckets.set(who, { left: left >= 1 ? left - 1 : left, atMs: nowMs });
    return left >= 1 ? 0 : Math.ceil((1 - left) / this.perSecond);
  }

  private leftFor(who: string, nowMs: number): number {
    const bucket = this.buckets.get(who) ?? { left: this.atOnce, atMs: nowMs };
    return Math.min(this.atOnce, bucket.left + ((nowMs - bucket.atMs) / 1000) * this.perSecond);
  }

  /** Who could ask as much as a newcomer need not be remembered. */
  private forgetFull(nowMs: number): void {
    for (const who of [...this.buckets.keys()])
      if (this.leftFor(who, nowMs) >= this.atOnce) this.buckets.delete(who);
  }
}
