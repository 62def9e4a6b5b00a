import { expect, test } from "vitest";
import { spreadOut } from "./rings.ts";

test("rings that would touch are pushed apart, others stay where they belong", () => {
  expect(spreadOut([50, 55, 150], 30, 14, 226)).toEqual([50, 80, 150]);
});

test("rings near the lower end move up instead of out of the picture", () => {
  expect(spreadOut([220, 225], 30, 14, 226)).toEqual([196, 226]);
});

test("more rings than there is room for stand closer, all within the picture", () => {
  const at = spreadOut(
    Array.from({ length: 12 }, () => 120),
    30,
    14,
    226,
  );
  expect(Math.min(...at)).toBeGreaterThanOrEqual(14 - 1e-9);
  expect(Math.max(...at)).toBeLessThanOrEqual(226 + 1e-9);
  expect(new Set(at.map(Math.round)).size).toBe(12);
});
