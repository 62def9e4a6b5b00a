import { expect, test } from "vitest";
import { runsOf, xOnRule } from "./walkRule.ts";

test("a check that could not be reached leaves a gap in the heavy line", () => {
  expect(runsOf(6, [2], 10)).toEqual([
    [0, 2],
    [3, 6],
  ]);
});

test("checks done out of order are drawn where they stand", () => {
  expect(runsOf([0, 4, 5], [], 8)).toEqual([
    [0, 1],
    [4, 6],
  ]);
});

test("nothing done draws no line, and no checks at all divide by nothing", () => {
  expect(runsOf(0, [], 34)).toEqual([]);
  expect(xOnRule(0, 0)).toBe(1);
});

test("the last tick ends inside the picture", () => {
  expect(xOnRule(34, 34)).toBe(351);
});
