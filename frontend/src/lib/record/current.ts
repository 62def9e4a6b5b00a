/* Which answers count now. */
import type { Place, RevisionRow } from "../db/rows.ts";

export function stepKey(place: Place): string {
  const where = [place.at, place.part].filter((part) => part !== null).join("/");
  return where ? `${place.checkpoint}@${where}` : place.checkpoint;
}

/** The revisions no other replaces, by step; the later received first, this phone's unsent ones
 *  before all: they will be received last. Two for one step = two people wrote
 *  without seeing each other: both are kept. */
export function currentByStep(revisions: RevisionRow[]): Map<string, RevisionRow[]> {
  const replaced = new Set(revisions.flatMap((row) => row.replaces));
  const current = new Map<string, RevisionRow[]>();
  for (const row of revisions.filter((one) => !replaced.has(one.id)).sort(newestFirst)) {
    const key = stepKey(row);
    current.set(key, [...(current.get(key) ?? []), row]);
  }
  return current;
}

function newestFirst(a: RevisionRow, b: RevisionRow): number {
  const [ra, rb] = [a.position || Infinity, b.position || Infinity];
  if (ra !== rb) return rb > ra ? 1 : -1;
  return a.recorded_at === b.recorded_at
    ? a.id < b.id
      ? 1
      : -1
    : a.recorded_at < b.recorded_at
      ? 1
      : -1;
}
