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
  expect(farFromUsual("365", "in", HEIGHT)).toBe(
    "Usual is 5.91 to 35.4 in. In mm? It is kept all the same.",
  );
});

test("what is merely unlikely is said", () => {
  expect(farFromUsual("36.5", "mm", HEIGHT)).toBe(
    "Usual is 150 to 900 mm. It is kept all the same.",
  );
});
