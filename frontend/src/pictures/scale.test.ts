import { expect, test } from "vitest";
import { roundTicks, Scale } from "./scale.ts";

test("ticks are round and cover the stretch", () => {
  expect(roundTicks(480, 2310, 5)).toEqual([0, 500, 1000, 1500, 2000, 2500]);
  expect(roundTicks(0, 0.9, 3)).toEqual([0, 0.5, 1]);
});

test("a stretch of nothing still gives a tick to divide by", () => {
  const ticks = roundTicks(0, 0, 5);
  expect(ticks.every(Number.isFinite)).toBe(true);
});

test("what lies outside stands at the end", () => {
  const scale = new Scale(0, 10);
  expect([scale.at(-1), scale.at(5), scale.at(99)]).toEqual([0, 0.5, 1]);
  expect(scale.percent(3.3333333)).toBe("33.333%");
});
