/* The server lost what it had of this desk, or some of it: what it lacks waits to be sent again. */
import type { Desk } from "../db/database.ts";
import { enqueue, enqueueBytes } from "../db/outbox.ts";
import type { InspectionRow, MachineRow } from "../db/rows.ts";
import { closeBody } from "../record/close.ts";
import { revisionBody } from "../record/keep.ts";
import { type MachineSaid, withSaid } from "../record/machine.ts";
import { allSignOffs, enqueueSignOff } from "../record/signOff.ts";
import { type Answer, readAnswer, sorted } from "./pull.ts";
import { meantFor, type Sending } from "./send.ts";

/** What a server has: ids of what is said only once, and what it makes of the rest. */
class Had {
  readonly once = new Set<string>();
  readonly closed = new Set<string>();
  readonly machines = new Map<string, MachineRow>();
  readonly setUps = new Map<string, { recorded_at: string; header: unknown }>();

  add({ kind, body }: Answer["changes"][number]): void {
    const id = String(body["id"]);
    if (kind === "machine")
      this.machines.set(id, withSaid(this.machines.get(id), body as unknown as MachineSaid));
    else if (kind === "inspection")
      this.setUps.set(id, {
        recorded_at: String(body["recorded_at"]),
        header: body["header"],
      });
    else if (kind === "close") this.closed.add(String(body["inspection"]));
    else this.once.add(id);
  }

  /** Nothing of it, or an older word than this phone's. */
  lacksSetUp({ id, header, changed_at }: InspectionRow): boolean {
    const there = this.setUps.get(id);
    if (there === undefined) return true;
    return changed_at > there.recorded_at && sorted(header) !== sorted(there.header);
  }

  /** What is to be said of a machine; null where the server knows as much. Where this phone's word
   *  is not known to be the newer one, it fills only what the server has not. */
  lackingOf(machine: MachineRow, isNewer: boolean): MachineRow | null {
    const there = this.machines.get(machine.id);
    if (there === undefined) return machine;
    const told = Object.entries(there).filter(([, said]) => said !== "");
    const whole = isNewer ? machine : withSaid(machine, Object.fromEntries(told) as MachineRow);
    return sorted(whole) === sorted(there) ? null : whole;
  }
}

/** The server's log is not the one this phone has read: put what it lacks of this desk into the
 *  queue, whoever wrote it. Throws NoConnection or SignedOut; then nothing has changed. */
export async function enqueueLacking({ desk, server, owner, device }: Sending): Promise<void> {
  const had = new Had();
  let cursor: unknown = null;
  for (let more = true; more;) {
    const json = { device, cursor, changes: [] };
    const headers = meantFor(owner);
    const body = await server.call("/api/sync", { method: "POST", json, headers });
    const answer = readAnswer(body, []);
    answer.changes.forEach((change) => had.add(change));
    ({ cursor, more } = answer);
  }
  await enqueueAll(desk, had);
}

/** Put everything on this desk that a server has not into the queue once more, under its own ids, the
 *  set-up first. What stood in the queue was made of the same rows, so it is made anew. */
export async function enqueueAll(desk: Desk, had = new Had()): Promise<void> {
  await desk.transaction("rw", desk.tables, async () => {
    await desk.outbox.clear();
    // The old server's place in its log, and reports it issued, are not there any more.
    await desk.meta.where("key").equals("cursor").delete();
    await desk.meta.where("key").startsWith("report:").delete();
    const inspections = await desk.inspections.filter((row) => row.header !== null).toArray();
    const lacking = inspections.filter((row) => had.lacksSetUp(row));
    for (const machine of await desk.machines.toArray()) {
      const isNewer = lacking.some((row) => row.machine === machine.id);
      const body = { ...had.lackingOf(machine, isNewer) };
      if (!("id" in body)) continue;
      const inspection = inspections.find((row) => row.machine === machine.id)?.id ?? null;
      await enqueue(desk, { kind: "machine", subject: `machine:${machine.id}`, inspection, body });
    }
    for (const { id, machine, header, changed_at: recorded_at } of lacking) {
      const body = { id, machine, header, recorded_at };
      await enqueue(desk, {
        kind: "inspection",
        subject: `inspection:${id}`,
        inspection: id,
        body,
      });
    }
    await enqueueAnswers(desk, had.once);
    await enqueuePhotos(desk, had.once);
    for (const signOff of await allSignOffs(desk))
      if (!had.once.has(signOff.id)) await enqueueSignOff(desk, signOff);
    for (const { id, closed_at } of inspections) {
      if (closed_at === null || had.closed.has(id)) continue;
      const body = await closeBody(desk, id, closed_at);
      await enqueue(desk, { kind: "close", subject: `close:${id}`, inspection: id, body });
    }
  });
}

async function enqueueAnswers(desk: Desk, had: ReadonlySet<string>): Promise<void> {
  for (const row of await desk.revisions.orderBy("id").toArray()) {
    if (had.has(row.id)) continue;
    await desk.revisions.update(row.id, { position: 0 });
    const { inspection } = row;
    const subject = `revision:${row.id}`;
    await enqueue(desk, { kind: "observation", subject, inspection, body: revisionBody(row) });
  }
}

/** Bytes go in any case: the server may know of a picture that it no longer holds. */
async function enqueuePhotos(desk: Desk, had: ReadonlySet<string>): Promise<void> {
  for (const id of await desk.photos.toCollection().primaryKeys()) {
    const { bytes, type: _type, ...use } = (await desk.photos.get(id))!;
    const { inspection, sha256 } = use;
    if (!had.has(id))
      await enqueue(desk, { kind: "photo", subject: `photo:${id}`, inspection, body: use });
    await enqueueBytes(desk, { sha256, inspection, size: bytes.byteLength });
  }
  for (const { position: _lost, ...body } of await desk.photo_marks.orderBy("id").toArray()) {
    if (had.has(body.id)) continue;
    await desk.photo_marks.update(body.id, { position: 0 });
    const kind = "photo_marks";
    const subject = `${kind}:${body.id}`;
    await enqueue(desk, { kind, subject, inspection: body.inspection, body: { ...body } });
  }
}
