/**
 * Heights for rings that belong at `wanted` (rising) but must stand `apart` from one another within low to high.
 *
 * Pushed down where they would touch, then up from the lower end; too many for the room stand closer together.
 */
export function spreadOut(
  wanted: readonly number[],
  apart: number,
  low: number,
  high: number,
): number[] {
  const step = Math.min(apart, wanted.length > 1 ? (high - low) / (wanted.length - 1) : apart);
  const at: number[] = [];
  for (const y of wanted) at.push(Math.max(y, low, (at.at(-1) ?? -Infinity) + step));
  for (let i = at.length - 1, limit = high; i >= 0; i -= 1, limit -= step) {
    at[i] = Math.min(at[i] ?? limit, limit);
  }
  return at;
}
