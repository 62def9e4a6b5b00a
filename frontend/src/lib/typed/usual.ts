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

/** A sentence where a reading lies far from what is usual, else null. It is kept all the same. */
export function farFromUsual(text: string, unit: string, usual: Usual | null): string | null {
  const value = roughValue(text);
  const factor = (ROUGHLY[unit] ?? NaN) / (ROUGHLY[usual?.unit ?? ""] ?? NaN);
  if (!usual || value === null || Number.isNaN(factor)) return null;
  const inUsual = value * factor;
  if (inUsual >= usual.low && inUsual <= usual.high) return null;
  const span = `${round(usual.low / factor)} to ${round(usual.high / factor)}`;
  const { unit: other } = usual;
  const slip = other !== unit && value >= usual.low && value <= usual.high ? ` In ${other}?` : "";
  return (
    `Usual is ${span} ${unit === "1" ? "" : unit}`.trimEnd() + `.${slip} It is kept all the same.`
  );
}

function round(value: number): number {
  return Number(value.toPrecision(3));
}
