/* What the motion sensor tells, as it comes, and the trace of it that goes into the record. Nothing is
   judged here: samples the engine must leave out (a clock that ran backwards) are left to it. */
import type { Trace } from "../documents.ts";

type Vector = [number, number, number];
/** What is used of a DeviceMotionEvent. */
export interface Motion {
  timeStamp: number; // ms
  acceleration: MaybeVector | null;
  accelerationIncludingGravity: MaybeVector | null;
}
interface MaybeVector {
  x: number | null;
  y: number | null;
  z: number | null;
}
export interface Heard {
  samples: number;
  /** Events without a value, and events whose clock stood or ran backwards. */
  empty: number;
  backward: number;
  /** Median and longest pause between samples, ms; 0 before there are two. */
  typical_ms: number;
  longest_ms: number;
}

export class Recording {
  readonly #times_ms: number[] = [];
  readonly #vectors: Vector[] = [];
  #empty = 0;
  #withGravity: boolean | null = null;
  #released: number | null = null;

  /** A sample, or false where it had no value. */
  add(motion: Motion): boolean {
    const full = whole(motion.accelerationIncludingGravity);
    const own = whole(motion.acceleration);
    // One kind for the whole recording: a change between them would be a jump of 9.8 m/s².
    this.#withGravity ??= full ? true : own ? false : null;
    const vector = this.#withGravity ? full : own;
    if (!vector) {
      this.#empty += 1;
      return false;
    }
    this.#times_ms.push(motion.timeStamp);
    this.#vectors.push(vector);
    return true;
  }

  /** The hands let go now: told by the sensor's own clock, whatever else the phone calls time. */
  release(): void {
    this.#released ??= this.#times_ms.at(-1) ?? null;
  }

  get released_ms(): number | null {
    return this.#released;
  }

  get heard(): Heard {
    const pauses = this.#times_ms.slice(1).map((at, i) => at - this.#times_ms[i]!);
    const forward = pauses.filter((pause) => pause > 0).sort((a, b) => a - b);
    return {
      samples: this.#vectors.length,
      empty: this.#empty,
      backward: pauses.length - forward.length,
      typical_ms: forward[Math.floor(forward.length / 2)] ?? 0,
      longest_ms: forward.at(-1) ?? 0,
    };
  }

  /** Along the direction in which it moves most after the release: however the phone lies, and
   *  whichever sign it gives to gravity. */
  trace(): Trace {
    const [first] = this.#times_ms;
    const seconds = this.#times_ms.map((at) => rounded((at - (first ?? 0)) / 1000));
    const released = this.#released === null ? null : rounded((this.#released - first!) / 1000);
    const after = this.#vectors.filter((_, i) => released === null || seconds[i]! > released);
    const along = mainDirection(after.length > 1 ? after : this.#vectors);
    return {
      time_s: seconds,
      acceleration_m_s2: this.#vectors.map((vector) => rounded(dot(vector, along))),
      ...(released !== null && { released_at_s: released }),
    };
  }
}

function whole(vector: MaybeVector | null): Vector | null {
  if (!vector) return null;
  const { x, y, z } = vector;
  const all = [x, y, z].every((one) => typeof one === "number" && Number.isFinite(one));
  return all ? [x!, y!, z!] : null;
}

const dot = (a: Vector, b: Vector) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const rounded = (value: number) => Math.round(value * 1e4) / 1e4;

/** Unit vector of the largest variance: power iteration on the covariance of three axes. */
export function mainDirection(vectors: Vector[]): Vector {
  const count = vectors.length || 1;
  const mean = [0, 1, 2].map((i) => vectors.reduce((sum, v) => sum + v[i]!, 0) / count);
  const covariance = [0, 1, 2].map((i) =>
    [0, 1, 2].map((j) =>
      vectors.reduce((sum, v) => sum + (v[i]! - mean[i]!) * (v[j]! - mean[j]!), 0),
    ),
  );
  // From the axis that moves most, so that the start is never across the answer.
  const largest = [0, 1, 2].reduce((a, b) => (covariance[b]![b]! > covariance[a]![a]! ? b : a));
  let along = [0, 1, 2].map((i) => (i === largest ? 1 : 0)) as Vector;
  for (let i = 0; i < 60; i++) {
    const next = covariance.map((row) => dot(row as Vector, along)) as Vector;
    const length = Math.hypot(...next);
    if (length === 0) return along; // nothing moved at all
    along = next.map((one) => one / length) as Vector;
  }
  return along;
}
