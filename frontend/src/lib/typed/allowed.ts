/* What the engine can take of a reading, as its guide says: told at the field, so that one slip does
   not leave the whole machine without a grade. */
import type { Allowed } from "../documents.ts";

/** one: a single number, no range; thousands: they are usual here, thousandths are not. */
export type Rule = Partial<Allowed> & { one?: boolean; thousands?: boolean };

/** Seasons. */
export const AN_AMOUNT: Rule = { least: 0, one: true };
/** Driven distances. */
export const A_DISTANCE: Rule = { ...AN_AMOUNT, thousands: true };

/** The rule of a reading or figure in the unit it is typed in; a unit the guide does not offer has none. */
export function ruleOf(
  asked: { allowed: Record<string, Allowed>; several?: boolean },
  unit: string,
): Rule {
  return { ...asked.allowed[unit], ...(asked.several && { one: true }) };
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
  const { smallest = 0, largest = Infinity } = rule;
  if (numbers.map(Math.abs).some((one) => one > largest || (one > 0 && one < smallest)))
    return "That is not a size one can measure";
  return null;
}
