import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { mainDirection, type Motion, Recording } from "./recording.ts";

/** A phone's file of the public failure cases, as the sensor's events. */
function events(name: string): Motion[] {
  const file = new URL(`../../../../tests/engine/cases/${name}`, import.meta.url);
  const number = (text: string | undefined) => (text ? Number(text) : null);
  return readFileSync(file, "utf8")
    .trim()
    .split("\n")
    .slice(1)
    .map((line) => {
      const [t, x, y, z] = line.trim().split(",");
      const vector = { x: number(x), y: number(y), z: number(z) };
      return { timeStamp: Number(t), acceleration: null, accelerationIncludingGravity: vector };
    });
}
function recorded(motions: Motion[]): Recording {
  const recording = new Recording();
  motions.forEach((motion) => recording.add(motion));
  return recording;
}
const along = (z: number | null, t: number, gravity = true): Motion => ({
  timeStamp: t,
  acceleration: gravity ? null : { x: 0, y: 0, z },
  accelerationIncludingGravity: gravity ? { x: 0, y: 0, z } : null,
});

test("three hertz on a stuttering clock are counted from the time stamps", () => {
  const { time_s, acceleration_m_s2 } = recorded(events("motion_60hz_jitter_ios_sign.csv")).trace();
  // Rising passages through nought: whole periods between the first and the last.
  const rises = time_s.filter(
    (_, i) => i > 0 && acceleration_m_s2[i - 1]! < 0 && acceleration_m_s2[i]! >= 0,
  );
  const hertz = (rises.length - 1) / (rises.at(-1)! - rises[0]!);
  expect(hertz).toBeCloseTo(3, 1);
  expect(Math.max(...acceleration_m_s2)).toBeCloseTo(0.4, 1);
});

test("samples without a value are counted and never become a nought", () => {
  const recording = recorded(events("motion_nulls_coarse.csv"));
  const { heard } = recording;
  expect(heard.empty).toBeGreaterThan(0);
  expect(heard.typical_ms).toBe(100);
  expect(recording.trace().time_s).toHaveLength(heard.samples);
  expect(new Set(recording.trace().acceleration_m_s2)).not.toContain(0);
});

test("eight seconds of a locked screen are seen as a pause", () => {
  expect(recorded(events("motion_lock_gap_8s.csv")).heard.longest_ms).toBeGreaterThan(8000 - 50);
});

test("a clock that runs backwards is counted and handed on as it came", () => {
  const recording = recorded([along(9, 0), along(9.1, 20), along(9.2, 10), along(9.3, 30)]);
  expect(recording.heard.backward).toBe(1);
  expect(recording.trace().time_s).toEqual([0, 0.02, 0.01, 0.03]);
});

test("without gravity the plain acceleration is recorded, and the two are never mixed", () => {
  const recording = recorded([along(0.5, 0, false), along(-0.5, 20, false)]);
  expect(recording.add(along(9.8, 40))).toBe(false);
  expect(recording.trace().acceleration_m_s2).toEqual([0.5, -0.5]);
});

test("the release is told by the sensor's clock", () => {
  const recording = recorded([along(9, 5000), along(10, 5020)]);
  recording.release();
  recording.add(along(11, 5040));
  recording.release(); // the first word counts
  expect(recording.trace().released_at_s).toBe(0.02);
});

test("however the phone lies, the swing is found along its own direction", () => {
  // Swinging along (2, −1, 2)/3, of length 1, about any gravity.
  const swings = [-1, 0.6, -0.3, 0.2].map(
    (s) => [2 * s + 5, -s - 8, 2 * s + 1].map((one) => one / 3) as [number, number, number],
  );
  const [x, y, z] = mainDirection(swings);
  expect(Math.abs((2 * x - y + 2 * z) / 3)).toBeCloseTo(1, 9);
});

test("a phone that never moved has a direction all the same", () => {
  expect(
    Math.hypot(
      ...mainDirection([
        [0, 0, 9.81],
        [0, 0, 9.81],
      ]),
    ),
  ).toBe(1);
});
