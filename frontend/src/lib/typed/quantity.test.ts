import { describe, expect, test } from "vitest";
import { A_DISTANCE } from "./allowed.ts";
import { isBlank, readTyped, roughValue, WRITE_IT_LIKE } from "./quantity.ts";

describe("what people type is kept as typed", () => {
  test.each([
    "12.5",
    "12,5",
    "14 3/8",
    "12-3/8",
    "3/8",
    "\u0661\u0662\u066b\u0665",
    "\u06f1\u06f2",
    "00012",
    "0",
    "0.1",
    "-12",
    "\u221212",
    "1,234.5",
    "1.234,5",
    "0,125",
    ".5",
    "14\u00a03/8",
    "14 \u215c",
  ])("%s", (text) => {
    expect(readTyped(text, "mm")).toEqual({ ok: true, quantity: { value: text, unit: "mm" } });
  });

  test.each([["0.3 to 0.9"], ["0.3 \u2013 0.9"], ["0.3-0.9"], ["0.3..0.9"]])(
    "%s is a range",
    (text) => {
      expect(readTyped(text, "mm")).toEqual({
        ok: true,
        quantity: { low: "0.3", high: "0.9", unit: "mm" },
      });
    },
  );

  test("a range of fractions", () => {
    expect(readTyped("14 1/4 to 14 3/8", "in")).toEqual({
      ok: true,
      quantity: { low: "14 1/4", high: "14 3/8", unit: "in" },
    });
  });

  test.each([
    ['12 3/8"', "12 3/8", "in"],
    ["12.5 mm", "12.5", "mm"],
    ["30PSI", "30", "psi"],
  ])("%s: the unit written behind the number counts", (text, value, unit) => {
    expect(readTyped(text, "bar")).toEqual({ ok: true, quantity: { value, unit } });
  });
});

describe("what cannot be read is said, not guessed", () => {
  test.each([
    "1e3",
    "1e400",
    "NaN",
    "Infinity",
    "1.2.3",
    "-",
    "abc",
    "3/0",
    "14 3/",
    "999999999999999999",
    "1_000",
    "0.3 to",
    "to 3",
  ])("%s", (text) => {
    expect(readTyped(text, "mm")).toEqual({ ok: false, why: WRITE_IT_LIKE });
  });
  test.each([
    ["4,250", "4250", "4.25"],
    ["12,500", "12500", "12.5"],
    ["4,000", "4000", "4"],
    ["4,125", "4125", "4.1250"],
  ])("%s can be read two ways: %s or %s", (text, many, few) => {
    const why = `That can be read two ways: is it ${many} or ${few}?`;
    expect(readTyped(text, "mi")).toEqual({ ok: false, why, either: [many, few] });
    for (const said of [many, few]) expect(readTyped(said, "mi", A_DISTANCE).ok).toBe(true);
  });
  test("empty is blank, nought is not", () => {
    expect([isBlank(""), isBlank("  "), isBlank("0")]).toEqual([true, true, false]);
  });
});

test.each([
  ["14 3/8", 14.375],
  ["12-3/8", 12.375],
  ["-1/2", -0.5],
  ["0,42", 0.42],
  ["1,234.5", 1234.5],
  ["1.234,5", 1234.5],
  ["1,234,567", 1234567],
  ["\u0661\u0662\u066b\u0665", 12.5],
])("%s is about %d", (text, value) => expect(roughValue(text)).toBe(value));

test.each([
  ["4.250", ["4250", "4.25"]],
  ["12.500 km", ["12500 km", "12.5 km"]],
])("a point before three digits of a distance is asked about: %s", (text, either) => {
  expect(readTyped(text, "mi", A_DISTANCE)).toMatchObject({ ok: false, either });
  expect(readTyped(text, "mm").ok).toBe(true); // elsewhere it is a point
});

test.each(["4.25", "0.125", "1234.567", "1,234.5", "4 250"])(
  "a distance that reads one way only is not asked about: %s",
  (text) => {
    const read = readTyped(text, "mi", A_DISTANCE);
    expect("either" in read).toBe(false);
  },
);
