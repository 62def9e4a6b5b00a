/* The screen stays on while it is recorded. The system takes the lock away whenever the page is hidden,
   so it is asked for again on the way back. */

export class Awake {
  #lock: WakeLockSentinel | null = null;
  #wanted = false;
  readonly #back = () => document.visibilityState === "visible" && void this.#take();

  /** told: whether the screen will stay on. */
  constructor(private readonly told: (held: boolean) => void) {}

  hold(): void {
    if (!this.#wanted) document.addEventListener("visibilitychange", this.#back);
    this.#wanted = true;
    void this.#take();
  }

  async #take(): Promise<void> {
    try {
      const lock = await navigator.wakeLock?.request("screen");
      if (!this.#wanted) return void lock?.release();
      this.#lock = lock ?? null;
      this.told(lock !== undefined);
    } catch (error) {
      if (!(error instanceof DOMException)) throw error;
      this.told(false);
    }
  }

  letGo(): void {
    this.#wanted = false;
    document.removeEventListener("visibilitychange", this.#back);
    void this.#lock?.release();
    this.#lock = null;
  }
}
