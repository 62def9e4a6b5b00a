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
  ["$14,500", "14500.00"],
  ["14 500 usd", "14500.00"],
  ["USD 14,500.50", "14500.50"],
])("%s is %s", (text, amount) => expect(readMoney(text, "USD")).toEqual({ ok: true, amount }));

test.each([
  "",
  "abc",
  "1e3",
  "-5",
  "1.2.3",
  "12345,678",
  "1,23,456",
  "$",
  "$$5",
  "14500 bucks",
  "14500 obo",
])("%s is not a price", (text) => {
  expect(readMoney(text, "USD")).toEqual({
    ok: false,
    why: "Write it like 14500 or 14500.00.",
  });
});

test.each([
  ["\u20ac14.500", "USD", "\u20ac is not USD: choose the currency beside it."],
  ["14500 cad", "USD", "cad is not USD: choose the currency beside it."],
  ["$14500", "EUR", "$ is not EUR: choose the currency beside it."],
  ["14500 CAD", "USD", "CAD is not USD: choose the currency beside it."],
])("%s beside %s is asked about", (text, currency, why) =>
  expect(readMoney(text, currency)).toEqual({ ok: false, why }),
);

test.each([
  ["\u20ac14.500", "EUR"],
  ["\u00a314,500", "GBP"],
  ["$14,500", "CAD"],
])("%s stands beside %s", (text, currency) =>
  expect(readMoney(text, currency)).toEqual({ ok: true, amount: "14500.00" }),
);
