/* What is drawn on a picture: kept beside it as revisions, like answers. Of two people who drew
   without seeing each other, both drawings are shown. */
import type { Desk } from "../db/database.ts";
import { enqueue, refusedOf, untriedOf } from "../db/outbox.ts";
import type { PhotoMarksRow, Place } from "../db/rows.ts";
import type { PhotoMark } from "../documents.ts";
import { uuid7 } from "../ids.ts";
import { stepKey } from "../record/current.ts";

/** One picture shown at one check. */
export interface PhotoUse {
  inspection: string;
  place: Place;
  sha256: string;
}

/** The marks on each picture of a check, by SHA-256. rows: all of the inspection. */
export function marksAt(rows: PhotoMarksRow[], step: string): Map<string, PhotoMark[]> {
  const marks = new Map<string, PhotoMark[]>();
  for (const row of standing(rows.filter((one) => stepKey(one) === step))) {
    const known = marks.get(row.sha256) ?? [];
    const texts = new Set(known.map(asText));
    marks.set(row.sha256, [...known, ...row.marks.filter((one) => !texts.has(asText(one)))]);
  }
  return marks;
}

/** Revisions that no other replaces, in the order the server has or will have them. */
function standing(rows: PhotoMarksRow[]): PhotoMarksRow[] {
  const replaced = new Set(rows.flatMap((row) => row.replaces));
  const when = (row: PhotoMarksRow) => row.position || Infinity;
  return rows
    .filter((row) => !replaced.has(row.id))
    .sort((a, b) => (when(a) === when(b) ? (a.id < b.id ? -1 : 1) : when(a) - when(b)));
}

/** The same whatever order the server gave the keys. */
function asText(mark: PhotoMark): string {
  return JSON.stringify(Object.entries(mark).sort(([a], [b]) => (a < b ? -1 : 1)));
}

/** Keep what is drawn on a picture now. Resolves when it is on disk, with what sends it. Of a closed
 *  inspection nothing is drawn any more. */
export async function keepMarks(
  desk: Desk,
  { inspection, place, sha256 }: PhotoUse,
  marks: PhotoMark[],
  now = new Date(),
): Promise<void> {
  await desk.transaction("rw", [desk.photo_marks, desk.outbox, desk.inspections], async () => {
    if ((await desk.inspections.get(inspection))?.closed_at) return;
    const rows = await desk.photo_marks.where({ inspection, sha256 }).toArray();
    const before = standing(rows.filter((one) => stepKey(one) === stepKey(place)));
    if (before.length === 0 && marks.length === 0) return;
    const alone = before.length === 1 ? before[0] : undefined;
    const subject = `photo_marks:${alone?.id}`;
    // Nobody has seen what was not sent yet: it is written over. What was refused stands for nothing.
    const untried = alone && (await untriedOf(desk, subject));
    const refused = alone && (await refusedOf(desk, subject).delete()) > 0;
    if (refused) await desk.photo_marks.delete(alone.id);
    const { checkpoint, at, part } = place;
    const body = {
      id: alone && untried ? alone.id : uuid7(),
      inspection,
      sha256,
      ...{ checkpoint, at, part },
      replaces: alone && (untried || refused) ? alone.replaces : before.map((one) => one.id),
      recorded_at: now.toISOString(),
      marks,
    };
    await desk.photo_marks.put({ ...body, position: 0 });
    const kind = "photo_marks";
    await enqueue(desk, { kind, subject: `${kind}:${body.id}`, inspection, body });
  });
}
