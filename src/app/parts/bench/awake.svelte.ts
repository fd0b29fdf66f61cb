/** Keeps the screen on while the bench is in sight. Browsers give this only over HTTPS or on the device itself. */
class Awake {
  held = $state(false);
  #lock: WakeLockSentinel | null = null;

  readonly possible = "wakeLock" in navigator;

  /** Asks for it; gives the way to let it go. */
  keep(): () => void {
    const again = (): void => void this.#ask();
    document.addEventListener("visibilitychange", again);
    again();
    return () => {
      document.removeEventListener("visibilitychange", again);
      void this.#lock?.release();
      this.#lock = null;
    };
  }

  async #ask(): Promise<void> {
    if (!this.possible || document.visibilityState !== "visible" || (this.#lock && !this.#lock.released))
      return;
    try {
      this.#lock = await navigator.wakeLock.request("screen");
      this.held = true;
      this.#lock.addEventListener("release", () => (this.held = false));
    } catch {
      // refused, as with a battery nearly empty: said on the screen by `held`
      this.held = false;
    }
  }
}

export const awake = new Awake();
