/* What is typed is on disk within a tenth of a second, however fast it goes on, and at once when
   the screen goes away. */

const SETTLE_MS = 80;

export class Saver {
  static #all: Promise<unknown> = Promise.resolve();
  /** Resolves when all that any screen had to write is on disk (or has failed and been reported). */
  static settled(): Promise<unknown> {
    return Saver.#all;
  }
  #timer: ReturnType<typeof setTimeout> | undefined;
  #last: Promise<void> = Promise.resolve();
  #dirty = false;
  #leave = () => void this.flush();
  #hide = () => document.visibilityState === "hidden" && void this.flush();

  constructor(private readonly write: () => Promise<void>) {
    // On a phone the first two are all that is told before a page is put away for good.
    window.addEventListener("pagehide", this.#leave);
    window.addEventListener("beforeunload", this.#leave);
    document.addEventListener("visibilitychange", this.#hide);
  }

  touch(): void {
    this.#dirty = true;
    // Not put off by the next letter: who types on without a pause is kept too.
    this.#timer ??= setTimeout(() => void this.flush(), SETTLE_MS);
  }

  /** Resolves when all that was touched is on disk. */
  flush(): Promise<void> {
    clearTimeout(this.#timer);
    this.#timer = undefined;
    if (this.#dirty) {
      this.#dirty = false;
      this.#last = this.#last.then(() => this.write());
      Saver.#all = Promise.allSettled([Saver.#all, this.#last]);
    }
    return this.#last;
  }

  close(): Promise<void> {
    window.removeEventListener("pagehide", this.#leave);
    window.removeEventListener("beforeunload", this.#leave);
    document.removeEventListener("visibilitychange", this.#hide);
    return this.flush();
  }
}
