/* When to send: on start, on return to the screen, on "online", after a step, and by the button;
   after a failure with growing pauses. One tab sends; all tabs show. */
import { NoConnection, OtherLog, Refused, SignedOut } from "../api/call.ts";

export type QueueState =
  | { phase: "idle" }
  | { phase: "sending" }
  | { phase: "no_connection"; since: number; why: string }
  | { phase: "signed_out"; why: string; code: string }
  /** The server lacks what it had: it waits for the person's word to send that again. */
  | { phase: "other_log"; why: string };

const FIRST_PAUSE_MS = 2_000;
const LONGEST_PAUSE_MS = 300_000;

export interface QueueParts {
  send: () => Promise<void>;
  show: (state: QueueState) => void;
  /** Runs the work if no other tab is at it; false if one is. */
  alone?: (work: () => Promise<void>) => Promise<boolean>;
  random?: () => number;
}

export class Queue {
  #failures = 0;
  #timer: ReturnType<typeof setTimeout> | undefined;
  #running: Promise<void> | null = null;
  #again = false;
  #failingSince = 0;
  #signedOut = false;
  #stopped = false;
  constructor(private readonly parts: QueueParts) {}

  /** Something may be there to send. Does nothing while a sign-in is asked for. */
  nudge(): void {
    if (!this.#signedOut) void this.tryNow();
  }

  /** After the sign-in, or by the button. Resolves when this run is over. */
  async tryNow(): Promise<void> {
    if (this.#stopped) return;
    clearTimeout(this.#timer);
    if (this.#running) {
      this.#again = true;
      return this.#running;
    }
    this.#running = this.#run().finally(() => (this.#running = null));
    await this.#running;
    if (this.#again) {
      this.#again = false;
      await this.tryNow();
    }
  }

  stop(): void {
    this.#stopped = true;
    clearTimeout(this.#timer);
  }

  /** Pause before the next try: doubles from two seconds to five minutes, half of it by chance, so
   *  that phones which lost one signal together do not come back in step. */
  pause_ms(): number {
    const longest = Math.min(
      LONGEST_PAUSE_MS,
      FIRST_PAUSE_MS * 2 ** Math.max(0, this.#failures - 1),
    );
    return longest / 2 + (longest / 2) * (this.parts.random ?? Math.random)();
  }

  async #run(): Promise<void> {
    const alone = this.parts.alone ?? onlyTab;
    try {
      const mine = await alone(async () => {
        this.parts.show({ phase: "sending" });
        await this.parts.send();
      });
      this.#failures = 0;
      this.#signedOut = false;
      if (mine) this.parts.show({ phase: "idle" });
    } catch (error) {
      this.#fail(error);
    }
  }

  #fail(error: unknown): void {
    if (error instanceof SignedOut) {
      this.#signedOut = true;
      return this.parts.show({ phase: "signed_out", why: error.message, code: error.code });
    }
    if (error instanceof OtherLog)
      return this.parts.show({ phase: "other_log", why: error.message });
    // Refused as a whole: too many at once from this address. That passes too.
    if (!(error instanceof NoConnection || error instanceof Refused)) throw error;
    if (this.#failures === 0) this.#failingSince = Date.now();
    this.#failures += 1;
    this.parts.show({ phase: "no_connection", since: this.#failingSince, why: error.message });
    if (!this.#stopped) this.#timer = setTimeout(() => this.nudge(), this.pause_ms());
  }
}

/** Web Locks where there are any (secure origins); elsewhere each tab sends, and the server's
 *  "already" keeps it to one. */
async function onlyTab(work: () => Promise<void>): Promise<boolean> {
  const locks = (navigator as { locks?: LockManager }).locks;
  if (!locks) {
    await work();
    return true;
  }
  return locks.request("inspect-send", { ifAvailable: true }, async (lock) => {
    if (lock) await work();
    return lock !== null;
  });
}

/** Nudge on the browser's own signs of a chance to send. Returns the undo. */
export function nudgeOnSigns(queue: Queue): () => void {
  const onShow = () => document.visibilityState === "visible" && queue.nudge();
  const onOnline = () => queue.nudge();
  window.addEventListener("online", onOnline);
  document.addEventListener("visibilitychange", onShow);
  return () => {
    window.removeEventListener("online", onOnline);
    document.removeEventListener("visibilitychange", onShow);
  };
}
