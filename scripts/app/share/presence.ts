/** A device that has not asked for so long is gone. Between two questions of one that is there lie milliseconds. */
const GONE_AFTER_MS = 3000;

/** Which devices are there: those that wait for news, or did a moment ago. */
export class Presence {
  private readonly waiting = new Map<string, number>();
  private readonly changed: () => void;

  constructor(changed: () => void) {
    this.changed = changed;
  }

  get devices(): number {
    return this.waiting.size;
  }

  /** A device asks for news; what is given has to be called when it was answered, or went away. */
  arrives(device: string): () => void {
    const open = this.waiting.get(device);
    this.waiting.set(device, (open ?? 0) + 1);
    if (open === undefined) this.changed();
    return () => {
      const left = setTimeout(() => this.leaves(device), GONE_AFTER_MS);
      left.unref();
    };
  }

  private leaves(device: string): void {
    const open = (this.waiting.get(device) ?? 1) - 1;
    if (open > 0) this.waiting.set(device, open);
    else {
      this.waiting.delete(device);
      this.changed();
    }
  }
}
