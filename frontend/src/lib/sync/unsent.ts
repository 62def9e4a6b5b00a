/* What waits to be sent, in figures a person can weigh: how much, how large, since when. */
import type { Desk } from "../db/database.ts";
import type { OutboxRow } from "../db/rows.ts";

export interface Unsent {
  records: number;
  photos: number;
  refused: number;
  bytes: number;
  /** When the oldest of it was written, as this phone's clock had it; null where nothing waits. */
  since: Date | null;
}

/** Reads keys and the queue, never a picture's bytes. */
export async function unsentOf(desk: Desk, rows: readonly OutboxRow[]): Promise<Unsent> {
  const photos = rows.filter((row) => row.kind === "photo_bytes");
  const uses = await desk.photos
    .where("sha256")
    .anyOf(photos.map((row) => String(row.body["sha256"])))
    .primaryKeys();
  const written = [
    ...rows.filter((row) => row.kind !== "photo_bytes").map((row) => row.id),
    ...uses,
  ];
  const times = written.map(madeAt_ms);
  return {
    records: rows.length - photos.length,
    photos: photos.length,
    refused: rows.filter((row) => row.state === "refused").length,
    bytes: rows.reduce((sum, row) => sum + row.size, 0),
    since: times.length > 0 ? new Date(Math.min(...times)) : null,
  };
}

/** A UUIDv7 begins with its milliseconds (RFC 9562 §5.7). */
function madeAt_ms(id: string): number {
  return Number.parseInt(id.replaceAll("-", "").slice(0, 12), 16);
}

const count = (n: number, one: string, many: string) => n > 0 && `${n} ${n === 1 ? one : many}`;

/** "9 answers and records, 3 photos, 8.4 MB, the oldest 2 days old" */
export function unsentWords(unsent: Unsent, now: Date = new Date()): string {
  const megabytes = unsent.bytes / 1e6;
  const days = unsent.since === null ? 0 : daysSince(unsent.since, now);
  return [
    count(unsent.records, "answer or record", "answers and records"),
    count(unsent.photos, "photo", "photos"),
    megabytes >= 0.05 && `${megabytes.toFixed(1)} MB`,
    days > 0 &&
      `${unsent.records + unsent.photos > 1 ? "the oldest " : ""}${days} ${days === 1 ? "day" : "days"} old`,
  ]
    .filter(Boolean)
    .join(", ");
}

/** Whole days; a clock that was put back makes none of it old. */
export function daysSince(then: Date, now: Date): number {
  return Math.max(0, Math.floor((now.getTime() - then.getTime()) / 86_400_000));
}
