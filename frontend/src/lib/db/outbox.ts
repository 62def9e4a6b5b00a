import { uuid7 } from "../ids.ts";
import type { Desk } from "./database.ts";
import type { ChangeKind, OutboxRow } from "./rows.ts";

interface NewChange {
  kind: ChangeKind;
  body: Record<string, unknown>;
  inspection: string | null;
  subject: string;
}

/** Add a change to what waits to be sent. Call inside the transaction that writes the change itself.
 *  A change of the same subject that was never tried is replaced: nobody has seen it. */
export async function enqueue(desk: Desk, change: NewChange): Promise<string> {
  const untried = await untriedOf(desk, change.subject);
  // What was refused before is put right by this.
  await refusedOf(desk, change.subject).delete();
  const row = {
    ...change,
    id: untried?.id ?? uuid7(),
    state: "waiting" as const,
    why: "",
    tried: 0 as const,
    size: JSON.stringify(change.body).length,
  };
  if (untried) await desk.outbox.put({ ...row, seq: untried.seq! });
  else await desk.outbox.add(row);
  return row.id;
}

/** The row of this subject that was never tried, if any. */
export async function untriedOf(desk: Desk, subject: string): Promise<OutboxRow | undefined> {
  return desk.outbox
    .where("subject")
    .equals(subject)
    .filter((row) => row.tried === 0 && row.state === "waiting")
    .first();
}

export function refusedOf(desk: Desk, subject: string) {
  return desk.outbox
    .where("subject")
    .equals(subject)
    .filter((row) => row.state === "refused");
}

/** What was refused of an inspection whose set-up is now put right goes again, after the set-up. */
export async function sendAfter(desk: Desk, inspection: string): Promise<void> {
  const refused = await desk.outbox
    .where("inspection")
    .equals(inspection)
    .filter((row) => row.state === "refused")
    .sortBy("seq");
  await desk.outbox.bulkDelete(refused.map((row) => row.seq!));
  for (const { seq: _before, ...row } of refused)
    await desk.outbox.add({ ...row, state: "waiting", why: "" });
}

/** Photo bytes travel on their own, after the records. */
export async function enqueueBytes(
  desk: Desk,
  photo: { sha256: string; inspection: string; size: number },
): Promise<void> {
  const subject = `bytes:${photo.sha256}`;
  if (await desk.outbox.where("subject").equals(subject).count()) return;
  await desk.outbox.add({
    id: subject,
    kind: "photo_bytes",
    body: { sha256: photo.sha256 },
    inspection: photo.inspection,
    subject,
    state: "waiting",
    why: "",
    tried: 0,
    size: photo.size,
  });
}
