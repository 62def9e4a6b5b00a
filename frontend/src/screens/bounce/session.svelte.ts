/* One recording of one push: permission, countdown, push, let go, swing, done. Events are kept only
   between "push" and the end. */
import { spoken } from "../../components/spoken.svelte.ts";
import type { Trace } from "../../lib/documents.ts";
import { Awake } from "../../lib/motion/awake.ts";
import { Cue } from "../../lib/motion/cue.ts";
import { Recording } from "../../lib/motion/recording.ts";
import { askForMotion, listen } from "../../lib/motion/sensor.ts";

export type Phase =
  | "ready" | "asking" | "countdown" | "push" | "swing" | "done"
  | "denied" | "absent" | "silent" | "interrupted"; // prettier-ignore

const COUNTDOWN_S = 5;
const PUSH_MS = 2000;
const SWING_MS = 6000;
/** A sensor that says nothing for so long is silent. */
const SILENT_MS = 2000;
const PICTURE_MS = 70;

export class Session {
  phase = $state<Phase>("ready");
  left_s = $state(0);
  /** null: not known yet. */
  staysOn = $state<boolean | null>(null);
  drawn = $state.raw<Trace>({ time_s: [], acceleration_m_s2: [] });
  #recording = new Recording();
  #heard_at = 0;
  #timers: ReturnType<typeof setTimeout>[] = [];
  #stopHearing: (() => void) | null = null;
  readonly #cue = new Cue();
  readonly #awake = new Awake((held) => (this.staysOn = held));
  readonly #hidden = () => document.visibilityState === "hidden" && this.#end("interrupted");

  constructor(private readonly keep: (trace: Trace) => void) {}

  get isUnderWay(): boolean {
    return ["asking", "countdown", "push", "swing"].includes(this.phase);
  }
  get heard() {
    return this.#recording.heard;
  }

  /** In the tap: permission, sound and lock are granted only there. */
  async start(): Promise<void> {
    const asked = askForMotion();
    this.#cue.open();
    this.#awake.hold();
    this.phase = "asking";
    const answer = await asked;
    if (this.phase !== "asking") return;
    if (answer !== "granted") return this.#end(answer);
    this.#recording = new Recording();
    this.drawn = { time_s: [], acceleration_m_s2: [] };
    this.#heard_at = performance.now();
    this.#stopHearing = listen((event) => this.#hear(event));
    document.addEventListener("visibilitychange", this.#hidden);
    this.#every(250, () => this.#watch());
    this.#count(COUNTDOWN_S);
  }

  #count(left_s: number): void {
    this.phase = "countdown";
    this.left_s = left_s;
    if (left_s === 0) return this.#push();
    this.#cue.count();
    if (left_s === COUNTDOWN_S) spoken.say(`Push in ${left_s} seconds`);
    this.#after(1000, () => this.#count(left_s - 1));
  }

  #push(): void {
    this.phase = "push";
    this.#cue.push();
    spoken.say("Push and hold");
    this.#every(PICTURE_MS, () => (this.drawn = this.#recording.trace()));
    this.#after(PUSH_MS, () => this.letGo());
  }

  /** By the countdown, or by a tap of whoever stands at the phone. */
  letGo(): void {
    if (this.phase !== "push") return;
    this.#recording.release();
    this.phase = "swing";
    this.#cue.letGo();
    spoken.say("Let go");
    this.#after(SWING_MS, () => this.stop());
  }

  stop(): void {
    if (this.phase !== "swing") return;
    this.drawn = this.#recording.trace();
    this.#end("done");
    this.#cue.done();
    spoken.say("Recorded");
    this.keep(this.drawn);
  }

  #hear(event: DeviceMotionEvent): void {
    // What the hands do before "push" is nobody's matter: only that the sensor speaks at all.
    const spoke =
      this.phase === "countdown" ? new Recording().add(event) : this.#recording.add(event);
    if (spoke) this.#heard_at = performance.now();
  }

  #watch(): void {
    if (performance.now() - this.#heard_at > SILENT_MS)
      this.#end(this.phase === "countdown" ? "silent" : "interrupted");
  }

  /** Back to the beginning, whatever was under way. */
  cancel(): void {
    this.#end("ready");
  }

  #end(phase: Phase): void {
    this.#timers.forEach(clearTimeout);
    this.#timers = [];
    this.#stopHearing?.();
    this.#stopHearing = null;
    document.removeEventListener("visibilitychange", this.#hidden);
    this.#awake.letGo();
    this.phase = phase;
  }

  close(): void {
    this.#end("ready");
    this.#cue.close();
  }

  #after(ms: number, act: () => void): void {
    this.#timers.push(setTimeout(act, ms));
  }
  #every(ms: number, act: () => void): void {
    const again = () => {
      act();
      if (this.isUnderWay) this.#after(ms, again);
    };
    this.#after(ms, again);
  }
}
