import { expect, test } from "vitest";
import { AN_AMOUNT, ruleOf, ruleOfFigure } from "./allowed.ts";
import { readTyped } from "./quantity.ts";

const length = (key: string) => ({ key, dimension: "length" });
const why = (text: string, unit: string, reading: Parameters<typeof ruleOf>[0]) => {
  const read = readTyped(text, unit, ruleOf(reading, unit));
  return read.ok ? null : read.why;
};

test.each([
  ["0.9 to 0.3", "Write the smaller number first"],
  ["0.9-0.3", "Write the smaller number first"],
  ["1/2 to 3/8", "Write the smaller number first"],
  ["0.3 to 0.3", "Both ends are the same: write one number"],
  ["0.3 to 0.9", null],
])("%s", (text, said) => expect(why(text, "mm", length("play"))).toBe(said));

test.each([
  ["play", "-0.2", "It cannot be below 0"],
  ["play", "0", null],
  ["play", "-0.1 to 0.4", "It cannot be below 0"],
  ["height", "0", "It must be above 0"],
  ["height", "-365", "It must be above 0"],
  ["from_seal", "-12", null],
  ["preload", "-3", null],
  ["height", "20000000", "That is not a size one can measure"],
])("%s %s", (key, text, said) => expect(why(text, "mm", length(key))).toBe(said));

test("temperatures go below nought, not below absolute zero", () => {
  const temperature = { key: "temperature", dimension: "temperature" };
  expect(why("-20", "degC", temperature)).toBeNull();
  expect(why("-274", "degC", temperature)).toBe("It must be above -273.15");
  expect(why("-400", "degF", temperature)).toBeNull();
});

test("a swing and a distance are one number", () => {
  expect(why("3 to 5", "mm", { ...length("peaks"), several: true })).toBe(
    "Write one number here, not a range",
  );
  expect(readTyped("-100", "mi", AN_AMOUNT).ok).toBe(false);
  expect(readTyped("4200", "mi", AN_AMOUNT).ok).toBe(true);
});

test("a known figure is the size of a thing", () => {
  expect(readTyped("0", "mm", ruleOfFigure("shaft.diameter", "mm")).ok).toBe(false);
  expect(readTyped("0", "mm", ruleOfFigure("shaft.droop_travel", "mm")).ok).toBe(true);
  expect(readTyped("-2", "mm", ruleOfFigure("preload", "mm")).ok).toBe(true);
});
