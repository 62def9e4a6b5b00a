/* Where the readings, the line and the limits of a trend stand in its picture. Places are shares, 0 to 1. */
import type { TrendRow, Zone } from "../lib/documents.ts";
import { limitsAlong, zonesAlong } from "./gauge.ts";
import { roundTicks, Scale } from "./scale.ts";

export interface TrendScale {
  along: Scale;
  up: Scale;
  ticks: number[]; // distances
  limits: number[]; // those within the picture
  zones: { letter: Zone; from: number; to: number }[]; // shares of the height, from below
}

/** All readings with their doubt, the line, and the next boundary (or the nearest) are in the picture; the
 *  band may run out of it. */
export function trendScale(row: TrendRow): TrendScale {
  const ends = row.points.flatMap(({ value, U }) => [value - U, value + U]);
  const line = row.line.map(({ value }) => value);
  const all = limitsAlong(row.limits);
  const middle = row.now.value;
  const nearest = [...all].sort((a, b) => Math.abs(a - middle) - Math.abs(b - middle))[0] ?? middle;
  const shown = [...ends, ...line, row.next_boundary?.boundary ?? nearest];
  const [low, high] = [Math.min(...shown), Math.max(...shown)];
  const margin = (high - low || Math.abs(high) || 1) * 0.12;
  const floor = low >= 0 ? Math.max(0, low - margin) : low - margin;
  const up = new Scale(floor, high + margin);
  const distances = [...row.points, ...row.line].map(({ distance }) => distance);
  const [from, to] = [Math.min(...distances), Math.max(...distances)];
  const along = new Scale(from - (to - from) * 0.05, to + (to - from) * 0.02);
  const edges = [up.low, ...all.filter((one) => up.shows(one)), up.high];
  const letters = zonesAlong(row.limits, row.limits.small_is_bad);
  const first = all.filter((one) => one < up.low).length;
  return {
    along,
    up,
    ticks: roundTicks(from, to, 3).filter((one) => along.shows(one)),
    limits: all.filter((one) => up.shows(one)),
    zones: edges.slice(1).map((edge, i) => ({
      letter: letters[first + i] ?? "?",
      from: up.at(edges[i] ?? up.low),
      to: up.at(edge),
    })),
  };
}

/** The line as far as it was seen, and what is ahead of the last reading; they meet there. */
export function seenAndAhead(row: TrendRow): { seen: TrendRow["line"]; ahead: TrendRow["line"] } {
  const last = Math.max(...row.points.map(({ distance }) => distance));
  const seen = row.line.filter(({ distance }) => distance <= last);
  return {
    seen,
    ahead: [...seen.slice(-1), ...row.line.filter(({ distance }) => distance > last)],
  };
}
