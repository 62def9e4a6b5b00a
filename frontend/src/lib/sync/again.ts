/* The server lost what it had of this desk: all of it waits to be sent again. */
import type { Desk } from "../db/database.ts";
import { enqueue, enqueueBytes } from "../db/outbox.ts";
import { closeBody } from "../record/close.ts";
import { revisionBody } from "../record/keep.ts";
import { allSignOffs, enqueueSignOff } from "../record/signOff.ts";

/** Put everything on this desk into the queue once more, under its own ids, the set-up first.
 *  What stood in the queue was made of the same rows, so it is made anew. */
export async function enqueueAll(desk: Desk): Promise<void> {
  await desk.transaction("rw", desk.tables, async () => {
    await desk.outbox.clear();
    // The old server's place in its log, and reports it issued, are not there any more.
    await desk.meta.where("key").equals("cursor").delete();
    await desk.meta.where("key").startsWith("report:").delete();
    const inspections = await desk.inspections.filter((row) => row.header !== null).toArray();
    for (const machine of await desk.machines.toArray()) {
      const inspection = inspections.find((row) => row.machine === machine.id)?.id ?? null;
      const body = { ...machine };
      await enqueue(desk, { kind: "machine", subject: `machine:${machine.id}`, inspection, body });
    }
    for (const { id, machine, header, changed_at: recorded_at } of inspections) {
      const body = { id, machine, header, recorded_at };
      await enqueue(desk, {
        kind: "inspection",
        subject: `inspection:${id}`,
        inspection: id,
        body,
      });
    }
    await enqueueAnswers(desk);
    await enqueuePhotos(desk);
    for (const signOff of await allSignOffs(desk)) await enqueueSignOff(desk, signOff);
    for (const { id, closed_at } of inspections) {
      if (closed_at === null) continue;
      const body = await closeBody(desk, id, closed_at);
      await enqueue(desk, { kind: "close", subject: `close:${id}`, inspection: id, body });
    }
  });
}

async function enqueueAnswers(desk: Desk): Promise<void> {
  for (const row of await desk.revisions.orderBy("id").toArray()) {
    await desk.revisions.update(row.id, { position: 0 });
    const { inspection } = row;
    const subject = `revision:${row.id}`;
    await enqueue(desk, { kind: "observation", subject, inspection, body: revisionBody(row) });
  }
}

async function enqueuePhotos(desk: Desk): Promise<void> {
  for (const id of await desk.photos.toCollection().primaryKeys()) {
    const { bytes, type: _type, ...use } = (await desk.photos.get(id))!;
    const { inspection, sha256 } = use;
    await enqueue(desk, { kind: "photo", subject: `photo:${id}`, inspection, body: use });
    await enqueueBytes(desk, { sha256, inspection, size: bytes.byteLength });
  }
  for (const { position: _lost, ...body } of await desk.photo_marks.orderBy("id").toArray()) {
    await desk.photo_marks.update(body.id, { position: 0 });
    const kind = "photo_marks";
    const subject = `${kind}:${body.id}`;
    await enqueue(desk, { kind, subject, inspection: body.inspection, body: { ...body } });
  }
}
