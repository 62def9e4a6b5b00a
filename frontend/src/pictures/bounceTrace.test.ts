import { expect, test } from "vitest";
import { BOX, curveLines, frameOf, recordedPoints } from "./bounceTrace.ts";

const trace = { time_s: [0, 1, 2], acceleration_m_s2: [9, 11, 10] };
const points = (line: string) => line.split(" ").map((one) => one.split(",").map(Number));

test("the whole recording fills the frame", () => {
  const drawn = points(recordedPoints(trace, frameOf(trace)));
  expect(drawn[0]).toEqual([BOX.left, BOX.bottom]);
  expect(drawn[1]).toEqual([(BOX.left + BOX.right) / 2, BOX.top]);
  expect(drawn[2]).toEqual([BOX.right, (BOX.top + BOX.bottom) / 2]);
});

test("a still phone is drawn as a still line, not as noise of full height", () => {
  const still = { time_s: [0, 1], acceleration_m_s2: [9.8, 9.82] };
  const [a, b] = points(recordedPoints(still, frameOf(still)));
  expect(Math.abs(a![1]! - b![1]!)).toBeLessThan(4);
});

test("the fitted line starts at the release, on the curve, within its envelope", () => {
  const frame = frameOf(trace);
  // cosine 1 at start_s 0.5, λ = ln 2 per second, ω = 2π: after one whole turn half is left.
  const curve = {
    start_s: 0.5, end_s: 2, rate_per_s: Math.LN2, angular_rad_s: 2 * Math.PI,
    cosine: 1, sine: 0, level: 10, drift_per_s: 0,
  }; // prettier-ignore
  const { fitted, above, below } = curveLines(curve, frame);
  const first = points(fitted)[0]!;
  expect(first[0]).toBeCloseTo(frame.x(0.5), 1);
  expect(first[1]).toBeCloseTo(frame.y(11), 1);
  const afterATurn = points(fitted)[160]!; // 1 s of 1.5 s in 240 steps
  expect(afterATurn[0]).toBeCloseTo(frame.x(1.5), 1);
  expect(afterATurn[1]).toBeCloseTo(frame.y(10.5), 1);
  expect(points(above)[160]![1]).toBeCloseTo(frame.y(10.5), 1);
  expect(points(below)[160]![1]).toBeCloseTo(frame.y(9.5), 1);
});

test("a swing that has died away is not drawn on", () => {
  const curve = {
    start_s: 0, end_s: 60, rate_per_s: 5, angular_rad_s: 9, cosine: 1, sine: 0, level: 10, drift_per_s: 0,
  }; // prettier-ignore
  const frame = frameOf({ time_s: [0, 60], acceleration_m_s2: [9, 11] });
  // e^(−5t) = 1/100 at t = 0.92 s
  expect(points(curveLines(curve, frame).fitted).at(-1)![0]).toBeCloseTo(frame.x(0.921), 0);
});
