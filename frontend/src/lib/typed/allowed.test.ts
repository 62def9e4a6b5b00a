import { expect, test } from "vitest";
import { madeGuide } from "../guide/made.fixture.ts";
import { AN_AMOUNT, ruleOf } from "./allowed.ts";
import { readTyped } from "./quantity.ts";

// The rules are the engine's own: taken from the guide it makes.
const guide = madeGuide({ machine: { kind: "sport_side_by_side" } });
const reading = (checkpoint: string, key: string) => {
  const { readings, marks } = guide.checkpoints[checkpoint]!;
  return [...readings, ...(marks?.readings ?? [])].find((one) => one.key === key)!;
};
const figure = (name: string) =>
  guide.specifications.flatMap(({ fields }) => fields).find((one) => one.name === name)!;
const why = (text: string, unit: string, asked: Parameters<typeof ruleOf>[0]) => {
  const read = readTyped(text, unit, ruleOf(asked, unit));
  return read.ok ? null : read.why;
};

test.each([
  ["0.9 to 0.3", "Write the smaller number first"],
  ["0.9-0.3", "Write the smaller number first"],
  ["1/2 to 3/8", "Write the smaller number first"],
  ["0.3 to 0.3", "Both ends are the same: write one number"],
  ["0.3 to 0.9", null],
])("%s", (text, said) => expect(why(text, "mm", reading("bearing_play", "play"))).toBe(said));

test.each([
  ["bearing_play", "play", "-0.2", "It cannot be below 0"],
  ["bearing_play", "play", "0", null],
  ["bearing_play", "play", "-0.1 to 0.4", "It cannot be below 0"],
  ["ride_height", "height", "0", "It must be above 0"],
  ["ride_height", "height", "-365", "It must be above 0"],
  ["shaft_surface", "from_seal", "-12", null],
  ["ride_height", "preload", "-3", null],
  ["ride_height", "height", "20000000", "That is not a size one can measure"],
])("%s %s %s", (checkpoint, key, text, said) =>
  expect(why(text, "mm", reading(checkpoint, key))).toBe(said),
);

test("temperatures go below nought, not below absolute zero", () => {
  const temperature = reading("gas_pressure", "temperature");
  expect(why("-20", "degC", temperature)).toBeNull();
  expect(why("-274", "degC", temperature)).toBe("It must be above -273.15");
  expect(why("-400", "degF", temperature)).toBeNull();
});

test("a swing and a distance are one number", () => {
  expect(why("3 to 5", "mm", reading("bounce", "peaks"))).toBe(
    "Write one number here, not a range",
  );
  expect(readTyped("-100", "mi", AN_AMOUNT).ok).toBe(false);
  expect(readTyped("4200", "mi", AN_AMOUNT).ok).toBe(true);
});

test("a known figure is the size of a thing", () => {
  expect(why("0", "mm", figure("shaft.diameter"))).toBe("It must be above 0");
  expect(why("0", "mm", figure("shaft.droop_travel"))).toBeNull();
  expect(why("-2", "mm", figure("preload"))).toBeNull();
  expect(why("3.5", "1", figure("motion_ratio"))).toBe("It cannot be above 3");
});
