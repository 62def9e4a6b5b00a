import { expect, test } from "vitest";
import { readMoney } from "./money.ts";

test.each([
  ["14500", "14500.00"],
  ["14,500", "14500.00"],
  ["14.500", "14500.00"],
  ["14 500,50", "14500.50"],
  ["14,500.5", "14500.50"],
  ["14'500", "14500.00"],
  ["1,234,567", "1234567.00"],
  ["0", "0.00"],
])("%s is %s", (text, amount) => expect(readMoney(text)).toEqual({ ok: true, amount }));

test.each(["", "abc", "1e3", "-5", "1.2.3", "12345,678", "1,23,456"])(
  "%s is not a price",
  (text) => {
    expect(readMoney(text).ok).toBe(false);
  },
);
