/* How numbers are written. Nothing is decided or converted here. */
import type { Money } from "../lib/documents.ts";

const plain = (digits: number) =>
  new Intl.NumberFormat("en", { minimumFractionDigits: digits, maximumFractionDigits: digits });

/** A measured number to three figures: 0.2, 966, 0.0025. */
export function figure(value: number): string {
  return new Intl.NumberFormat("en", { maximumSignificantDigits: 3 }).format(value);
}

/** Reading and its doubt to the same place: the doubt with two figures at most, one where the second is 0. */
export function reading(value: number, doubt: number): { value: string; doubt: string } {
  if (doubt <= 0) return { value: figure(value), doubt: "0" };
  const [mantissa = "", exponent = "0"] = doubt.toExponential(1).split("e");
  const figures = mantissa.endsWith("0") ? 0 : 1;
  const places = Math.max(0, figures - Number(exponent));
  // toFixed rounds the number as it is stored, as the engine's own sentences do: 0.475 is 0.47 in both.
  const write = (number: number) =>
    plain(places).format(number.toFixed(places) as Intl.StringNumericLiteral);
  return { value: write(value), doubt: write(Number(doubt.toExponential(1))) };
}

/** The unit as it is printed behind a number: nothing for a ratio, a gap that does not break before anything else. */
export function unitMark(unit: string): string {
  return unit === "1" || unit === "" ? "" : `\u00a0${unit}`;
}

/** A sum with thousands parted; cents only where there are some. The text is never turned into a float. */
export function sum(amount: Money): string {
  const cents = /\.\d*[1-9]/.test(amount);
  return plain(cents ? 2 : 0).format(amount as Intl.StringNumericLiteral);
}

/** An expected sum or an end of a span, to whole units: cents would pretend. */
export function about(amount: Money): string {
  return plain(0).format(amount as Intl.StringNumericLiteral);
}

/** "1000 mi" as 1,000 mi. */
export function distanceWords(distance: string): string {
  return distance.replace(/^\d{4,}(?![\d.])/, (whole) => plain(0).format(Number(whole)));
}

/** first − second, exact to the cent. Both are decimals as the engine writes them. */
export function less(first: Money, second: Money): Money {
  return fromCents(cents(first) - cents(second));
}

/** What is left of a price: less the sum as it is told, in whole units, or the two would not add up. */
export function left(asked: Money, off: Money): Money {
  return less(asked, about(off).replaceAll(",", ""));
}

/** Sum of decimals, exact to the cent. */
export function together(amounts: readonly Money[]): Money {
  return fromCents(amounts.reduce((all, amount) => all + cents(amount), 0n));
}

export function isNothing(amount: Money): boolean {
  return cents(amount) === 0n;
}

function cents(amount: Money): bigint {
  const read = /^(-?)(\d+)(?:\.(\d{1,2})0*)?$/.exec(amount);
  if (read === null) throw new RangeError(`${amount} is no sum in whole cents`);
  const [, sign, whole = "0", part = ""] = read;
  const size = BigInt(whole) * 100n + BigInt(part.padEnd(2, "0"));
  return sign === "-" ? -size : size;
}

function fromCents(all: bigint): Money {
  const size = all < 0n ? -all : all;
  return `${all < 0n ? "-" : ""}${size / 100n}.${String(size % 100n).padStart(2, "0")}`;
}

/** A probability as so many in 100; never a false certainty. */
export function inHundred(probability: number): string {
  const of = Math.round(probability * 100);
  if (of === 0 && probability > 0) return "under 1 in 100";
  if (of === 100 && probability < 1) return "over 99 in 100";
  return `${of} in 100`;
}

/** "1 check", "2 checks". */
export function counted(count: number, one: string, many = `${one}s`): string {
  return `${count} ${count === 1 ? one : many}`;
}

/** "15 seconds", "1 minute", "42 minutes". */
export function minutesWords(minutes: number): string {
  return minutes < 1
    ? counted(Math.round(minutes * 60), "second")
    : counted(Math.round(minutes), "minute");
}

/** The same where there is little room: "15 s", "42 min". */
export function minutesShort(minutes: number): string {
  return minutes < 1 ? `${Math.round(minutes * 60)} s` : `${Math.round(minutes)} min`;
}

/** A code name as words: front_left as front left. */
export function spoken(name: string): string {
  return name.replaceAll("_", " ");
}

export function firstUp(text: string): string {
  return text.slice(0, 1).toUpperCase() + text.slice(1);
}

/** Calendar day of an ISO date: 14 May 2026. What is no date stays as it is. */
export function day(iso: string): string {
  const when = new Date(`${iso.slice(0, 10)}T00:00:00Z`);
  if (Number.isNaN(when.getTime())) return iso;
  return new Intl.DateTimeFormat("en-GB", {
    day: "numeric",
    month: "long",
    year: "numeric",
    timeZone: "UTC",
  }).format(when);
}
