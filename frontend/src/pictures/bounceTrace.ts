/* A recorded bounce as a picture: where time and acceleration fall, and the fitted curve as points. It
   draws what record and assessment say and decides nothing. */
import type { Curve, Trace } from "../lib/documents.ts";

export const BOX = { width: 358, height: 186, left: 6, right: 352, top: 12, bottom: 150 };

export interface Frame {
  x: (time_s: number) => number;
  y: (acceleration_m_s2: number) => number;
  /** Whole and half seconds along the axis. */
  ticks: { x: number; text: string }[];
}

/** The whole recording fits; what lies still is not blown up to full height: 1 m/s² at least. */
export function frameOf(trace: Trace): Frame {
  const seconds = Math.max(1, ...trace.time_s);
  const [low, high] = rangeOf(trace.acceleration_m_s2);
  const middle = (low + high) / 2;
  const half = Math.max(0.5, (high - low) / 2);
  const x = (time_s: number) => BOX.left + ((BOX.right - BOX.left) * time_s) / seconds;
  const step = seconds > 4 ? 2 : seconds > 2 ? 1 : 0.5;
  const count = Math.floor(seconds / step);
  return {
    x,
    y: (a) => (BOX.top + BOX.bottom) / 2 - ((a - middle) / half) * ((BOX.bottom - BOX.top) / 2),
    ticks: Array.from({ length: count + 1 }, (_, i) => ({
      x: x(i * step),
      text: i === count ? `${i * step} s` : String(i * step),
    })),
  };
}

function rangeOf(values: number[]): [number, number] {
  return values.reduce<[number, number]>(
    ([low, high], one) => [Math.min(low, one), Math.max(high, one)],
    values.length > 0 ? [values[0]!, values[0]!] : [0, 0],
  );
}

export function recordedPoints(trace: Trace, { x, y }: Frame): string {
  return trace.time_s
    .map((at, i) => `${x(at).toFixed(1)},${y(trace.acceleration_m_s2[i]!).toFixed(1)}`)
    .join(" ");
}

const STEPS = 240;
const DRAWN_TO_SHARE = 0.01;

/** The fitted swing and its two envelopes; where less than a hundredth is left there is no swing to draw. */
export function curveLines(curve: Curve, { x, y }: Frame) {
  const dies_s = -Math.log(DRAWN_TO_SHARE) / Math.max(curve.rate_per_s, 1e-9);
  const length_s = Math.min(curve.end_s - curve.start_s, dies_s);
  const size = Math.hypot(curve.cosine, curve.sine);
  const line = (value: (t: number) => number) =>
    Array.from({ length: STEPS + 1 }, (_, i) => {
      const t = (length_s * i) / STEPS;
      return `${x(curve.start_s + t).toFixed(1)},${y(value(t)).toFixed(1)}`;
    }).join(" ");
  const base = (t: number) => curve.level + curve.drift_per_s * t;
  const dying = (t: number) => Math.exp(-curve.rate_per_s * t);
  return {
    fitted: line((t) => {
      const turn = curve.angular_rad_s * t;
      return dying(t) * (curve.cosine * Math.cos(turn) + curve.sine * Math.sin(turn)) + base(t);
    }),
    above: line((t) => size * dying(t) + base(t)),
    below: line((t) => -size * dying(t) + base(t)),
  };
}
