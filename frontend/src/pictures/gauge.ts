import type { Interval, Zone } from "../lib/documents.ts";
import { Scale } from "./scale.ts";

export interface Boundaries {
  A: number;
  B: number;
  C: number | null;
}

/** A reading as the gauge shows it: a number with its doubt (k = 2), or the span a word stands for. */
export type Shown = { value: number; U: number } | Interval;

// The outer zones show at least this part of the limits' own stretch.
const EDGE_SHARE = 0.55;
// A reading farther out stands at the end, or the limits would shrink to one line.
const FURTHEST = 2;

/** Limits in the order of the number line. */
export function limitsAlong(boundaries: Boundaries): number[] {
  return [boundaries.A, boundaries.B, boundaries.C].filter((b) => b !== null).sort((a, b) => a - b);
}

/** Zones in the order of the number line: D first where small is bad. */
export function zonesAlong(boundaries: Boundaries, smallIsBad: boolean): Zone[] {
  const letters: Zone[] = boundaries.C === null ? ["A", "B", "C"] : ["A", "B", "C", "D"];
  return smallIsBad ? letters.reverse() : letters;
}

/** Ends of what the reading covers. */
export function reach(shown: Shown): [number, number] {
  return "low" in shown ? [shown.low, shown.high] : [shown.value - shown.U, shown.value + shown.U];
}

/** A scale that shows every limit, the reading and its doubt, and never below 0 for nothing. */
export function gaugeScale(boundaries: Boundaries, shown: Shown): Scale {
  const marks = limitsAlong(boundaries);
  const [first = 0, last = 1] = [marks[0], marks.at(-1)];
  const stretch = last - first || Math.abs(first) || 1;
  const [from, to] = reach(shown);
  const margin = (to - from) * 0.08;
  const low = Math.max(
    Math.min(first - EDGE_SHARE * stretch, from - margin),
    first - FURTHEST * stretch,
  );
  const high = Math.min(
    Math.max(last + EDGE_SHARE * stretch, to + margin),
    last + FURTHEST * stretch,
  );
  return new Scale(first >= 0 ? Math.max(low, 0) : low, high);
}

/**
 * Row (0 the nearest) of each figure under the scale, so that none covers another even in large text.
 *
 * places: shares of the width, rising; texts: the figures; room: width in letter heights.
 */
export function figureRows(
  places: readonly number[],
  texts: readonly string[],
  room: number,
): number[] {
  const ends: number[] = [];
  return places.map((place, i) => {
    // A figure is about 0.54 letter heights wide; half a letter parts it from the next.
    const half = (texts[i]?.length ?? 0) * 0.27 + 0.25;
    const free = ends.findIndex((end) => place * room - half >= end);
    const row = free === -1 ? ends.length : free;
    ends[row] = place * room + half;
    return row;
  });
}
