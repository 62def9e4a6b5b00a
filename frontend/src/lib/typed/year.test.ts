import { expect, test } from "vitest";
import { readYear } from "./year.ts";

test.each([
  ["2019", 2019],
  [" 1950 ", 1950],
  ["2o19", null],
  ["19", null],
  ["1949", null],
  ["2101", null],
  ["", null],
])("%s", (text, year) => expect(readYear(text)).toBe(year));
