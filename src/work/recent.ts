/** The values used last, so many of them. */
export class Recent<V> {
  readonly #values = new Map<string, V>();
  readonly #most: number;

  constructor(most: number) {
    this.#most = most;
  }

  has(key: string): boolean {
    return this.#values.has(key);
  }

  get(key: string): V | undefined {
    const value = this.#values.get(key);
    if (value !== undefined) this.set(key, value);
    return value;
  }

  set(key: string, value: V): void {
    // Deleted and set again, so that the map runs from the longest unused to the newest.
    this.#values.delete(key);
    this.#values.set(key, value);
    for (const old of this.#values.keys()) {
      if (this.#values.size <= this.#most) break;
      this.#values.delete(old);
    }
  }

  delete(key: string): void {
    this.#values.delete(key);
  }
}
