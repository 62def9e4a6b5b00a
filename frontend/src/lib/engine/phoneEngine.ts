/* The engine on this phone: fetched once in the background, started when a grade is wanted, put to
   rest when none is. Where it cannot run it says so, and the server grades. */
import { fetchAndKeep, missingOf, partsOf } from "./cache.ts";
import type { EngineCall, Parts, Question, Told } from "./protocol.ts";

export type EngineState =
  | { phase: "absent" } // comes with the next signal
  | { phase: "fetching"; loaded: number; total: number } // bytes as they travel
  | { phase: "resting" } // here, not running
  | { phase: "starting" }
  | { phase: "ready" }
  | { phase: "cannot"; why: string };

export type EngineAnswer = { text: string } | { refused: { path: string; what: string }[] };

/** This phone's engine cannot answer now; the server may. */
export class NoEngine extends Error {
  override name = "NoEngine";
}

// Ten times what a slow phone needs: without an end, what hangs would look like what works.
const LONGEST_START_MS = 30_000;
const LONGEST_ANSWER_MS = 20_000;
/** Gives about 90 MB of memory back; starting again takes a second. */
const REST_AFTER_MS = 180_000;

interface Running {
  worker: Worker;
  ready: Promise<void>;
}

export class PhoneEngine {
  #state: EngineState = { phase: "absent" };
  #parts: Parts | null = null;
  #fetching: Promise<void> | null = null;
  #running: Running | null = null;
  #waiting = new Map<number, (told: Told) => void>();
  #last = 0;
  #rest: ReturnType<typeof setTimeout> | undefined;

  constructor(
    private readonly show: (state: EngineState) => void,
    private readonly make: () => Worker,
  ) {}

  /** All its files are on this phone: it can answer, signal or not. */
  get isHere(): boolean {
    return isHere(this.#state);
  }

  /** Have all its files here, as far as they are not. Call on start and whenever a signal returns. */
  fetch(): Promise<void> {
    if (this.#state.phase !== "absent") return this.#fetching ?? Promise.resolve();
    if (!("caches" in globalThis) || !("WebAssembly" in globalThis))
      return Promise.resolve(this.#become({ phase: "cannot", why: "This browser cannot run it." }));
    this.#fetching ??= this.#fetch().finally(() => (this.#fetching = null));
    return this.#fetching;
  }

  /** Start it before it is asked, so that the first answer is quick too. */
  warm(): void {
    this.#start().catch((error: unknown) => {
      if (!(error instanceof NoEngine)) throw error;
    });
  }

  /** Throws NoEngine where this phone's engine cannot answer. */
  async ask(call: EngineCall, text: string): Promise<EngineAnswer> {
    const { worker } = await this.#start();
    const id = ++this.#last;
    // A worker that the phone ended for want of memory does not say so.
    const late = setTimeout(() => this.#stop({ phase: "resting" }), LONGEST_ANSWER_MS);
    const told = await new Promise<Told>((resolve) => {
      this.#waiting.set(id, resolve);
      worker.postMessage({ id, call, text } satisfies Question);
    });
    clearTimeout(late);
    this.#restLater();
    if ("text" in told) return { text: told.text };
    if ("refused" in told) return { refused: told.refused };
    this.#stop({ phase: "resting" });
    throw new NoEngine("broke" in told ? told.broke : "It stopped.");
  }

  async #fetch(): Promise<void> {
    this.#parts = await partsOf();
    if (this.#parts === null) return;
    try {
      const missing = await missingOf(this.#parts);
      const total = missing.reduce((sum, file) => sum + file.sent, 0);
      let before = 0;
      for (const file of missing) {
        await fetchAndKeep(file, (share) =>
          this.#become({ phase: "fetching", loaded: before + share * file.sent, total }),
        );
        before += file.sent;
      }
      this.#become({ phase: "resting" });
    } catch (error) {
      if (error instanceof TypeError) return this.#become({ phase: "absent" });
      if (!(error instanceof DOMException)) throw error;
      this.#become({ phase: "cannot", why: "This phone has no room for it." });
    }
  }

  async #start(): Promise<Running> {
    if (this.#state.phase === "cannot") throw new NoEngine(this.#state.why);
    if (this.#parts === null || !this.isHere) throw new NoEngine("It is not on this phone yet.");
    const running = (this.#running ??= this.#boot(this.#parts));
    await running.ready;
    this.#restLater();
    return running;
  }

  #boot(parts: Parts): Running {
    this.#become({ phase: "starting" });
    const worker = this.make();
    worker.postMessage(parts);
    const ready = new Promise<void>((resolve, reject) => {
      const cannot = (why: string) => {
        clearTimeout(timer);
        this.#stop({ phase: "cannot", why });
        reject(new NoEngine(why));
      };
      const timer = setTimeout(() => cannot("It did not start."), LONGEST_START_MS);
      worker.onerror = (event) => cannot(event.message || "It stopped.");
      worker.onmessage = ({ data }: MessageEvent<Told>) => {
        if ("failed" in data) return cannot(data.failed);
        if ("ready" in data) {
          clearTimeout(timer);
          this.#become({ phase: "ready" });
          return resolve();
        }
        this.#waiting.get(data.id)?.(data);
        this.#waiting.delete(data.id);
      };
    });
    return { worker, ready };
  }

  #stop(state: EngineState): void {
    clearTimeout(this.#rest);
    this.#running?.worker.terminate();
    this.#running = null;
    const waiting = [...this.#waiting];
    this.#waiting.clear();
    for (const [id, answer] of waiting) answer({ id, broke: "It stopped." });
    this.#become(state);
  }

  #restLater(): void {
    clearTimeout(this.#rest);
    if (this.#waiting.size === 0)
      this.#rest = setTimeout(() => this.#stop({ phase: "resting" }), REST_AFTER_MS);
  }

  #become(state: EngineState): void {
    this.#state = state;
    this.show(state);
  }
}

export function isHere({ phase }: EngineState): boolean {
  return phase === "resting" || phase === "starting" || phase === "ready";
}
