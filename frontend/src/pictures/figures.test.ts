import { expect, test } from "vitest";
import {
  about,
  day,
  distanceWords,
  figure,
  inHundred,
  left,
  less,
  reading,
  sum,
  together,
  unitMark,
  minutesShort,
  minutesWords,
} from "./figures.ts";

test("a reading and its doubt stop at the same place", () => {
  expect(reading(0.2, 0.08)).toEqual({ value: "0.20", doubt: "0.08" });
  expect(reading(0.475, 0.144)).toEqual({ value: "0.47", doubt: "0.14" });
  expect(reading(35.0774, 7.8132)).toEqual({ value: "35.1", doubt: "7.8" });
  expect(reading(1234.5, 40)).toEqual({ value: "1,235", doubt: "40" });
  expect(reading(5, 0)).toEqual({ value: "5", doubt: "0" });
});

test("cents are printed only where there are some", () => {
  expect([sum("1720.00"), sum("123.50"), sum("0.00"), sum("1000000")]).toEqual([
    "1,720",
    "123.50",
    "0",
    "1,000,000",
  ]);
});

test("a sum of any length keeps its last cent, where a float would lose it", () => {
  expect(sum("90071992547409.93")).toBe("90,071,992,547,409.93");
  expect(less("90071992547409.93", "0.01")).toBe("90071992547409.92");
  // 0.1 + 0.2 is not 0.3 in floats.
  expect(together(["0.10", "0.20"])).toBe("0.30");
});

test("what is left and the sum told in whole units add up to the price asked", () => {
  // 594.50 is told as 595: 13,905.50 would be told as 13,906, and 595 + 13,906 is not 14,500.
  expect(about("594.50")).toBe("595");
  expect(sum(left("14500", "594.50"))).toBe("13,905");
  expect(sum(left("14500.00", "1634.00"))).toBe("12,866");
  expect(sum(left("1234.50", "0"))).toBe("1,234.50"); // never more than was asked
});

test("a difference below nothing keeps its sign", () => {
  expect(less("10.00", "12.5")).toBe("-2.50");
  expect(less("-1.00", "-3.00")).toBe("2.00");
});

test("what is no sum in whole cents is refused, not cut off", () => {
  expect(() => less("1.005", "0")).toThrow(RangeError);
  expect(() => together(["twelve"])).toThrow(RangeError);
});

test("an expected sum is printed without cents", () => {
  expect(about("2483.05")).toBe("2,483");
});

test("a probability is never a false certainty", () => {
  expect([inHundred(0.79), inHundred(0.001), inHundred(0.999), inHundred(1), inHundred(0)]).toEqual(
    ["79 in 100", "under 1 in 100", "over 99 in 100", "100 in 100", "0 in 100"],
  );
});

test("a ratio has no unit, a length keeps a gap that does not break", () => {
  expect([unitMark("1"), unitMark("mm")]).toEqual(["", "\u00a0mm"]);
});

test("small figures are not rounded away", () => {
  expect([figure(0.0025), figure(1.1), figure(966.4)]).toEqual(["0.0025", "1.1", "966"]);
});

test("thousands are parted in distances, years and decimals are left alone", () => {
  expect(["1000 mi", "500 mi", "4250.5 km"].map(distanceWords)).toEqual([
    "1,000 mi",
    "500 mi",
    "4250.5 km",
  ]);
});

test("a day is the same day in every time zone", () => {
  expect([day("2026-05-14"), day("no date")]).toEqual(["14 May 2026", "no date"]);
});

test("a quarter of a minute is fifteen seconds, and a sum of minutes has no fraction", () => {
  expect([0.25, 1, 41.75].map(minutesWords)).toEqual(["15 seconds", "1 minute", "42 minutes"]);
  expect([0.5, 8].map(minutesShort)).toEqual(["30 s", "8 min"]);
});
