/* What the engine can take of a reading: told at the field, so that one slip does not leave the
   whole machine without a grade. Sizes a rulebook judges are not here. */
import { roughFactor } from "./usual.ts";

export interface Rule {
  /** The smallest number that may be. */
  least?: number;
  /** The number must be above this one. */
  above?: number;
  /** The largest number that may be. */
  most?: number;
  /** One number, no range. */
  one?: boolean;
  /** Sizes beyond which nothing can be measured, in the unit typed. */
  span?: { smallest: number; largest: number };
}

const MAY_BE_BELOW = ["preload", "from_seal"];
const ABOVE_NOUGHT = ["height", "support_length", "free_length"];
const ABSOLUTE_ZERO: Record<string, number> = { K: 0, degC: -273.15, degF: -459.67 };
// In millimetres, megapascals and the like.
const [SMALLEST, LARGEST] = [1e-7, 1e7];

/** Driven distances, seasons. */
export const AN_AMOUNT: Rule = { least: 0, one: true };

export function ruleOf(
  reading: { key: string; dimension?: string; several?: boolean },
  unit: string,
): Rule {
  const one = reading.several ? { one: true } : {};
  if (reading.dimension === "temperature") return { ...one, above: ABSOLUTE_ZERO[unit] ?? 0 };
  const span = spanOf(unit);
  if (MAY_BE_BELOW.includes(reading.key)) return { ...one, span };
  return ABOVE_NOUGHT.includes(reading.key)
    ? { ...one, span, above: 0 }
    : { ...one, span, least: 0 };
}

/** A known figure by its path: nearly all are sizes of a thing. */
export function ruleOfFigure(path: string, unit: string): Rule {
  if (path === "gas.temperature") return { above: ABSOLUTE_ZERO[unit] ?? 0 };
  if (path === "preload") return {};
  if (path === "motion_ratio") return { above: 0, most: 3 };
  return path === "shaft.droop_travel" ? { least: 0 } : { above: 0 };
}

function spanOf(unit: string): { smallest: number; largest: number } {
  const factor = roughFactor(unit) ?? 1;
  return { smallest: SMALLEST / factor, largest: LARGEST / factor };
}

/** The sentence why numbers that can be read may still not stand, or null. */
export function refusal(numbers: readonly number[], rule: Rule): string | null {
  const [first = 0, second] = numbers;
  if (second !== undefined) {
    if (rule.one) return "Write one number here, not a range";
    if (first === second) return "Both ends are the same: write one number";
    if (first > second) return "Write the smaller number first";
  }
  const lowest = Math.min(...numbers);
  if (rule.least !== undefined && lowest < rule.least) return `It cannot be below ${rule.least}`;
  if (rule.above !== undefined && lowest <= rule.above) return `It must be above ${rule.above}`;
  if (rule.most !== undefined && Math.max(...numbers) > rule.most)
    return `It cannot be above ${rule.most}`;
  const { span } = rule;
  const sizes = numbers.map(Math.abs);
  if (span && sizes.some((one) => one > span.largest || (one > 0 && one < span.smallest)))
    return "That is not a size one can measure";
  return null;
}
