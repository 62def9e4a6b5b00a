import { roughValue } from "./quantity.ts";

interface Usual {
  low: number;
  high: number;
  unit: string;
}

// Only to tell a slip of the unit on the screen; the engine converts, and exactly.
const ROUGHLY: Record<string, number> = {
  um: 0.001,
  mm: 1,
  cm: 10,
  m: 1000,
  in: 25.4,
  ft: 304.8,
  psi: 0.006895,
  bar: 0.1,
  kPa: 0.001,
  MPa: 1,
  "1": 1,
};

// What the same figure is read in on the other side of the ocean, or of the gauge.
const OTHER: Record<string, string> = { mm: "in", cm: "in", in: "mm", bar: "psi", psi: "bar" };

export interface Notice {
  text: string;
  /** So far off that it is asked about: keep, or change. */
  ask?: boolean;
  /** What was likely meant, as a text for the field. */
  meant?: string | null;
}
const FAR_OFF = 3;

/** What to say where a reading lies outside what is usual, else null. It may always be kept. */
export function farFromUsual(text: string, unit: string, usual: Usual | null): Notice | null {
  const value = roughValue(text);
  const factor = (ROUGHLY[unit] ?? NaN) / (ROUGHLY[usual?.unit ?? ""] ?? NaN);
  if (!usual || value === null || Number.isNaN(factor)) return null;
  const [low, high] = [usual.low / factor, usual.high / factor];
  if (value >= low && value <= high) return null;
  const span = `Usual is ${round(low)} to ${round(high)} ${unit === "1" ? "" : unit}`.trimEnd();
  const ask = value > FAR_OFF * high || (low > 0 && value < low / FAR_OFF);
  if (!ask) return { text: `${span}. It is kept all the same.` };
  const slip = slipOfUnit(value, unit, usual);
  // A fraction is of inches: its point is nowhere else.  What was the field's own usual unit all along
  // may be a slip of the point too.
  const certain = /[/\u00bc-\u00be\u2150-\u215e]/.test(text) || slip === usual.unit;
  const meant = slip && certain ? null : shifted(value, low, high);
  const questions = [slip && `is it in ${words(slip)}`, meant && `did you mean ${meant}`];
  const question = questions.filter(Boolean).join(", or ");
  return { text: `${span}.${question && ` ${firstUp(question)}?`}`, ask, meant };
}

/** The unit in which the same figure would be usual, or null. */
function slipOfUnit(value: number, unit: string, usual: Usual): string | null {
  const isUsual = (other: string) => {
    const there = (value * ROUGHLY[other]!) / ROUGHLY[usual.unit]!;
    return there >= usual.low && there <= usual.high;
  };
  const others = [usual.unit, OTHER[unit]].filter((one) => one !== undefined && one !== unit);
  return others.find((one) => isUsual(one!)) ?? null;
}

const words = (unit: string) => (unit === "in" ? "inches" : unit);
const firstUp = (text: string) => text.charAt(0).toUpperCase() + text.slice(1);

/** The same digits with the point elsewhere, where that is usual: 1438 -> "14.38". */
function shifted(value: number, low: number, high: number): string | null {
  const tries = [0.1, 10, 0.01, 100, 0.001, 1000].map((by) => value * by);
  const found = tries.find((one) => one >= low && one <= high && one > 0);
  return found === undefined ? null : String(Number(found.toPrecision(12)));
}

function round(value: number): number {
  return Number(value.toPrecision(2));
}
