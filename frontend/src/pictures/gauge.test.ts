import { expect, test } from "vitest";
import { figureRows, gaugeScale, limitsAlong, reach, zonesAlong } from "./gauge.ts";

const PLAY = { A: 0.05, B: 0.15, C: 0.25 };
const DAMPING = { A: 0.25, B: 0.18, C: 0.1 };

test("where small is bad D stands at the left, and the limits still rise", () => {
  expect(zonesAlong(DAMPING, true)).toEqual(["D", "C", "B", "A"]);
  expect(limitsAlong(DAMPING)).toEqual([0.1, 0.18, 0.25]);
});

test("a measurand without a third limit has three zones", () => {
  expect(zonesAlong({ A: 6, B: 13, C: null }, false)).toEqual(["A", "B", "C"]);
  expect(limitsAlong({ A: 6, B: 13, C: null })).toEqual([6, 13]);
});

test("every limit, the reading and its doubt stand within the scale", () => {
  const scale = gaugeScale(PLAY, { value: 0.2, U: 0.08 });
  for (const value of [0.05, 0.15, 0.25, 0.12, 0.28]) expect(scale.shows(value)).toBe(true);
  expect(scale.low).toBe(0);
});

test("a reading far beyond the limits stands at the end and leaves the zones room", () => {
  const scale = gaugeScale(PLAY, { value: 40, U: 1 });
  expect(scale.at(40)).toBe(1);
  expect(scale.at(0.25) - scale.at(0.05)).toBeGreaterThan(0.25);
});

test("the span of a word reaches from its low to its high end", () => {
  expect(reach({ low: 0.05, high: 0.2 })).toEqual([0.05, 0.2]);
  expect(reach({ value: 0.2, U: 0.08 })[0]).toBeCloseTo(0.12);
});

test("figures too close for the text size go to rows of their own", () => {
  expect(figureRows([0.05, 0.3, 0.6], ["0.0025", "0.016", "0.03"], 24)).toEqual([0, 0, 0]);
  expect(figureRows([0.05, 0.15, 0.3], ["0.0025", "0.016", "0.03"], 11)).toEqual([0, 1, 2]);
});
