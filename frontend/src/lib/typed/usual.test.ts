import { expect, test } from "vitest";
import { farFromUsual } from "./usual.ts";

const HEIGHT = { low: 150, high: 900, unit: "mm" };

test("a reading within what is usual says nothing", () => {
  expect(farFromUsual("14 3/8", "in", HEIGHT)).toBeNull(); // 365 mm
  expect(farFromUsual("365", "mm", HEIGHT)).toBeNull();
  expect(farFromUsual("", "mm", HEIGHT)).toBeNull();
  expect(farFromUsual("1e3", "mm", HEIGHT)).toBeNull();
});

test("a slip of the unit is asked about", () => {
  expect(farFromUsual("365", "in", HEIGHT)).toEqual({
    text: "Usual is 5.9 to 35 in. Is it in mm?",
    ask: true,
    meant: null,
  });
});

test("a point left out or misplaced is asked about", () => {
  expect(farFromUsual("1438", "in", HEIGHT)).toEqual({
    text: "Usual is 5.9 to 35 in. Did you mean 14.38?",
    ask: true,
    meant: "14.38",
  });
  expect(farFromUsual("36.5", "mm", HEIGHT)?.meant).toBe("365");
});

test("what is merely unlikely is said, not asked", () => {
  expect(farFromUsual("1000", "mm", HEIGHT)).toEqual({
    text: "Usual is 150 to 900 mm. It is kept all the same.",
  });
});
