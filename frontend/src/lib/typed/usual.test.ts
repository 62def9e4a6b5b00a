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

const FREE_LENGTH = { low: 100, high: 800, unit: "mm" };

test("inches and psi written into a field of mm and bar are asked about as such", () => {
  // 15 1/4 in = 387 mm: no point is misplaced in a fraction.
  expect(farFromUsual("15 1/4", "mm", FREE_LENGTH)).toEqual({
    text: "Usual is 100 to 800 mm. Is it in inches?",
    ask: true,
    meant: null,
  });
  expect(farFromUsual("15.25", "mm", FREE_LENGTH)).toEqual({
    text: "Usual is 100 to 800 mm. Is it in inches, or did you mean 152.5?",
    ask: true,
    meant: "152.5",
  });
  // 200 psi = 13.8 bar.
  const { text } = farFromUsual("200", "bar", { low: 0.5, high: 3, unit: "MPa" })!;
  expect(text).toContain("Is it in psi");
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
