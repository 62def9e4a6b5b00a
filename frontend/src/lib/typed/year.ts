const [FIRST, LAST] = [1950, 2100];
export const WRITE_THE_YEAR = `Write four digits, ${FIRST} to ${LAST}`;

/** A model year as typed, or null where it is none. */
export function readYear(text: string): number | null {
  const year = /^\d{4}$/.test(text.trim()) ? Number(text.trim()) : NaN;
  return year >= FIRST && year <= LAST ? year : null;
}
