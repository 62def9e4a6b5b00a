/* A price as people write it. Money is a decimal text, never a float. */

export type TypedMoney = { ok: true; amount: string } | { ok: false; why: string };

export const CURRENCIES = [
  "USD",
  "EUR",
  "GBP",
  "CAD",
  "AUD",
  "MXN",
  "CHF",
  "SEK",
  "NOK",
  "DKK",
  "PLN",
  "CZK",
  "ZAR",
  "NZD",
  "JPY",
  "BRL",
  "AED",
];

// A sign is of no currency alone: it must be one that the currency chosen beside is written with.
const SIGNS: Record<string, readonly string[]> = {
  $: ["USD", "CAD", "AUD", "NZD", "MXN"],
  "\u20ac": ["EUR"],
  "\u00a3": ["GBP"],
  "\u00a5": ["JPY"],
};
const SIGN = `[$\u20ac\u00a3\u00a5]|${CURRENCIES.join("|")}`;
const SIGNED = new RegExp(`^(${SIGN})?(.*?)(${SIGN})?$`, "iu");

/** "$14,500", "14 500.00", "14.500,5 EUR" -> "14500.00". Groups of three are thousands; one or two
 *  digits after the last sign are cents.  currency: the one chosen beside, e.g. "USD". */
export function readMoney(text: string, currency: string): TypedMoney {
  const typed = text.replace(/[\s\u00a0\u202f']/gu, "");
  const [, before, number = "", behind] = SIGNED.exec(typed) ?? [];
  const read = /^(\d{1,3}(?:[.,]\d{3})+|\d+)(?:[.,](\d{1,2}))?$/.exec(number);
  const whole = read?.[1]?.replace(/[.,]/g, "");
  if (!whole || whole.length > 9) return { ok: false, why: "Write it like 14500 or 14500.00." };
  const other = [before, behind].find((sign) => sign && !isOf(sign, currency));
  if (other)
    return { ok: false, why: `${other} is not ${currency}: choose the currency beside it.` };
  return { ok: true, amount: `${Number(whole)}.${(read?.[2] ?? "").padEnd(2, "0")}` };
}

function isOf(sign: string, currency: string): boolean {
  return sign.toUpperCase() === currency || !!SIGNS[sign]?.includes(currency);
}
