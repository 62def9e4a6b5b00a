/* A light look at a typed number: can it be read at all? The text is stored as typed; the engine
   alone turns it into a value. */
import { refusal, type Rule } from "./allowed.ts";

export type TypedQuantity =
  { value: string; unit: string } | { low: string; high: string; unit: string };
/** either: what it may mean, each written so that it can mean nothing else. */
export type Typed =
  { ok: true; quantity: TypedQuantity } | { ok: false; why: string; either?: readonly string[] };

export const WRITE_IT_LIKE = "Write it like 14 3/8 or 365";

const FRACTION = /^[+-]?\s*(?:\d+(?:\s+|\s*-\s*))?\d+\s*\/\s*0*[1-9]\d*$/;
const PLAIN =
  /^[+-]?\s*(?:\d+|\d*[.,]\d+|\d{1,3}(?:,\d{3})+\.\d+|\d{1,3}(?:\.\d{3})+,\d+|\d{1,3}(?:,\d{3}){2,}|\d{1,3}(?:\.\d{3}){2,})$/;
// A comma before exactly three digits is a thousand to one and a decimal to another.
const EITHER = /^[+-]?\s*0*[1-9]\d*,\d{3}$/;
// Where thousands are usual, so is a point before them.
const EITHER_POINT = /^[+-]?\s*0*[1-9]\d{0,2}\.\d{3}$/;
const RANGE = /^(.+?)(?:\s+to\s+|\s*(?:\u2013|\u2014|\.\.+|\u2026)\s*)(.+)$/iu;
const HYPHEN_RANGE = /^([\d.,]+)\s*-\s*([\d.,]+)$/;
const LONGEST = 24;
const LARGEST = 1e12;

// People write the unit behind the number; then it is that unit, whatever stands beside the field.
const WRITTEN_UNITS: Record<string, string> = {
  '"': "in",
  "\u2033": "in",
  "\u201d": "in",
  in: "in",
  mm: "mm",
  cm: "cm",
  psi: "psi",
  bar: "bar",
  mi: "mi",
  km: "km",
};
const WRITTEN = new RegExp(
  `^(.*[\\d\u00bc-\u00be\u2150-\u215e])\\s*(${Object.keys(WRITTEN_UNITS).join("|")})$`,
  "iu",
);

const VULGAR: Record<string, string> = {
  "\u00bd": "1/2",
  "\u00bc": "1/4",
  "\u00be": "3/4",
  "\u215b": "1/8",
  "\u215c": "3/8",
  "\u215d": "5/8",
  "\u215e": "7/8",
};

/** Read a typed text with the unit beside it. Empty text is not a quantity and not a fault either:
 *  ask `isBlank` first. */
export function readTyped(text: string, unit: string, rule: Rule = {}): Typed {
  const written = WRITTEN.exec(text.trim());
  const typed = (written?.[1] ?? text).trim();
  const own = WRITTEN_UNITS[(written?.[2] ?? "").toLowerCase()] ?? unit;
  // Before the single number: "0.3-0.9" is a span, "12-3/8" is one number.
  const range = RANGE.exec(typed) ?? hyphenRange(typed);
  const [low, high] = [range?.[1]?.trim(), range?.[2]?.trim()];
  if (low && high) {
    const both = isNumber(low) && isNumber(high);
    return both
      ? allowed({ low, high, unit: own }, [low, high], rule)
      : { ok: false, why: WRITE_IT_LIKE };
  }
  const ascii = toAscii(typed);
  if (EITHER.test(ascii) || (rule.thousands && EITHER_POINT.test(ascii))) {
    const [many, few] = [ascii.replace(/[.,]/, ""), withFraction(ascii)];
    const either = [many, few].map((one) => [one, written?.[2]].filter(Boolean).join(" "));
    return { ok: false, why: `That can be read two ways: is it ${many} or ${few}?`, either };
  }
  if (isNumber(typed)) return allowed({ value: typed, unit: own }, [typed], rule);
  return { ok: false, why: WRITE_IT_LIKE };
}

/** A number of a record, whose point is a point, written so that no thousands can be read: "4.250" ->
 *  "4.25", "4.125" -> "4.1250". Any other text stays as it is. */
export function pointOnly(text: string): string {
  return EITHER_POINT.test(text) ? withFraction(text) : text;
}

function withFraction(text: string): string {
  const [whole = "", digits = ""] = text.split(/[.,]/);
  const fraction = digits.replace(/0+$/, "");
  if (fraction === "") return whole;
  return `${whole}.${fraction.length === 3 ? `${fraction}0` : fraction}`;
}

function allowed(quantity: TypedQuantity, texts: string[], rule: Rule): Typed {
  const why = refusal(
    texts.map((one) => roughValue(one) ?? NaN),
    rule,
  );
  return why === null ? { ok: true, quantity } : { ok: false, why };
}

export function isBlank(text: string): boolean {
  return text.trim() === "";
}

/** The value of a typed number, for "is that ten times the usual?" on the screen and nothing else. */
export function roughValue(text: string): number | null {
  const ascii = toAscii(text);
  if (!isNumber(text)) return null;
  const parts = /^([+-]?)\s*(?:(\d+)(?:\s+|\s*-\s*))?(\d+)\s*\/\s*(\d+)$/.exec(ascii);
  if (!parts) return Number(pointed(ascii.replace(/\s/g, "")));
  const size = Number(parts[2] ?? 0) + Number(parts[3]) / Number(parts[4]);
  return parts[1] === "-" ? -size : size;
}

/** The last sign is the point where it stands alone; the others part thousands. */
function pointed(ascii: string): string {
  const signs = ascii.match(/[.,]/g) ?? [];
  const last = signs.at(-1);
  if (last === undefined) return ascii;
  if (signs.length > 1 && signs.every((sign) => sign === last)) return ascii.replace(/[.,]/g, "");
  const at = ascii.lastIndexOf(last);
  return `${ascii.slice(0, at).replace(/[.,]/g, "")}.${ascii.slice(at + 1)}`;
}

function hyphenRange(typed: string): RegExpExecArray | null {
  return HYPHEN_RANGE.exec(toAscii(typed)) && /^([^\s-]+)\s*-\s*(\S+)$/u.exec(typed);
}

function isNumber(typed: string): boolean {
  const ascii = toAscii(typed);
  if (ascii.length > LONGEST || EITHER.test(ascii)) return false;
  if (FRACTION.test(ascii)) return true;
  return PLAIN.test(ascii) && Number(ascii.replace(/\D/g, "").slice(0, 13)) < LARGEST;
}

/** Other digits, signs and spaces as plain ones. */
function toAscii(text: string): string {
  return text
    .replace(/[\u00bc-\u00be\u215b-\u215e]/gu, (sign) => ` ${VULGAR[sign] ?? sign}`)
    .replace(/[\u0660-\u0669]/gu, (d) => String(d.charCodeAt(0) - 0x0660))
    .replace(/[\u06f0-\u06f9]/gu, (d) => String(d.charCodeAt(0) - 0x06f0))
    .replace(/\u066b/gu, ".")
    .replace(/\u066c/gu, ",")
    .replace(/[\u2212\u2010\u2011\u2012]/gu, "-")
    .replace(/\u2044|\u2215/gu, "/")
    .replace(/[\s\u00a0\u2009\u202f\u2007]+/gu, " ")
    .trim();
}
