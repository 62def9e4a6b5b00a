import { expect, test } from "vitest";
import type { TrendRow } from "../lib/documents.ts";
import { seenAndAhead, trendScale } from "./trendScale.ts";

const ROW: TrendRow = {
  id: "bearing_play@front_left/lower",
  checkpoint: "bearing_play",
  at: "front_left",
  part: "lower",
  title: "Play in the lower bearing",
  place: "front left",
  measurand: "play_mm",
  name: "play",
  unit: "mm",
  limits: { unit: "mm", A: 0.05, B: 0.15, C: 0.25, source: "judgement", small_is_bad: false },
  points: [
    { distance: 1000, value: 0.05, U: 0.02, by_word: false },
    { distance: 2000, value: 0.08, U: 0.02, by_word: false },
    { distance: 3000, value: 0.11, U: 0.02, by_word: false },
  ],
  line: [1000, 2000, 3000, 4000].map((distance) => {
    const value = 0.05 + 0.03e-3 * (distance - 1000);
    return { distance, value, low: value - 0.1, high: value + 0.1 };
  }),
  slope_per_1000: 0.03,
  slope_U_per_1000: 0.01,
  resolved: true,
  now: { value: 0.11, low: 0.09, high: 0.13 },
  reduced_chi_square: 0,
  next_boundary: { ends_zone: "B", boundary: 0.15, distance: 1333, low: 900, high: 2000 },
  because: "",
};

test("readings with their doubt and the next boundary stand in the picture, limits far off do not", () => {
  const { up, along, limits, zones } = trendScale(ROW);
  for (const value of [0.03, 0.13, 0.15]) expect(up.shows(value)).toBe(true);
  for (const distance of [1000, 4000]) expect(along.shows(distance)).toBe(true);
  expect(limits).toEqual([0.05, 0.15]);
  expect(zones.map(({ letter }) => letter)).toEqual(["A", "B", "C"]);
  expect(zones[0]!.from).toBe(0);
  expect(zones.at(-1)!.to).toBe(1);
  expect(zones[0]!.to).toBe(zones[1]!.from);
});

test("where small is bad the worst zone lies below", () => {
  const { zones } = trendScale({
    ...ROW,
    limits: { ...ROW.limits, A: 0.25, B: 0.15, C: 0.05, small_is_bad: true },
  });
  expect(zones.map(({ letter }) => letter)).toEqual(["D", "C", "B"]);
});

test("a reading beyond the first limits keeps its zones' letters", () => {
  const high = ROW.points.map((one) => ({ ...one, value: one.value + 0.2 }));
  const line = ROW.line.map((one) => ({ ...one, value: one.value + 0.2 }));
  const { zones } = trendScale({
    ...ROW,
    points: high,
    line,
    now: { value: 0.31, low: 0.29, high: 0.33 },
    next_boundary: null,
  });
  expect(zones.map(({ letter }) => letter)).toEqual(["C", "D"]);
});

test("the line is solid to the last reading and goes on from there", () => {
  const { seen, ahead } = seenAndAhead(ROW);
  expect(seen.map(({ distance }) => distance)).toEqual([1000, 2000, 3000]);
  expect(ahead.map(({ distance }) => distance)).toEqual([3000, 4000]);
});
