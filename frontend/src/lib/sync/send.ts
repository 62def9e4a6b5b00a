/* Sending what waits: records first, in bounded batches; then the photos, largest last. */
import { NoConnection, Refused, type Server, SignedOut, TooLarge } from "../api/call.ts";
import type { Desk } from "../db/database.ts";
import type { OutboxRow } from "../db/rows.ts";
import { contentDigest, sha256Hex } from "../photos/sha256.ts";
import { type Answer, readAnswer, takeIn } from "./pull.ts";

export const MOST_CHANGES = 50;
export const MOST_BYTES = 200_000;
const PHOTO_WAIT_MS = 120_000;

export interface Sending {
  desk: Desk;
  server: Server;
  /** The person whose desk this is. */
  owner: string;
  device: string;
}

/** Send all that waits, then take in what others sent. Throws NoConnection, SignedOut or OtherLog
 *  where it has to stop; whatever was not answered stays in the queue. */
export async function sendAll(sending: Sending): Promise<void> {
  await samePerson(sending);
  await sendRecords(sending);
  await sendPhotos(sending);
}

/** One person's sign-in never sends another's queue. */
async function samePerson({ server, owner }: Sending): Promise<void> {
  const { person } = await server.session();
  if (person?.id === owner) return;
  if (person && !person.private)
    throw new SignedOut(`${person.name} is signed in.`, "other_person");
  if (!(await server.comeBack())) throw new SignedOut("The sign-in has ended.");
}

async function sendRecords(sending: Sending): Promise<void> {
  let most = MOST_CHANGES;
  for (;;) {
    const batch = await nextBatch(sending.desk, most);
    const answer = await sendBatch(sending, batch);
    if (answer === "too_large") {
      most = Math.max(1, Math.floor(batch.length / 2));
      continue;
    }
    if (batch.length === 0 && !answer.more) return;
  }
}

async function nextBatch(desk: Desk, most: number): Promise<OutboxRow[]> {
  return desk.transaction("rw", desk.outbox, async () => {
    const waiting = await desk.outbox
      .where("state")
      .equals("waiting")
      .filter((row) => row.kind !== "photo_bytes")
      .sortBy("seq");
    const batch: OutboxRow[] = [];
    let bytes = 0;
    for (const row of waiting) {
      if (batch.length >= most || (batch.length > 0 && bytes + row.size > MOST_BYTES)) break;
      batch.push(row);
      bytes += row.size;
    }
    // From here on the bodies are frozen: a later edit becomes a change of its own.
    await desk.outbox
      .where("seq")
      .anyOf(batch.map((row) => row.seq!))
      .modify({ tried: 1 });
    return batch;
  });
}

async function sendBatch(sending: Sending, batch: OutboxRow[]): Promise<Answer | "too_large"> {
  const { desk, server, device, owner } = sending;
  const cursor = (await desk.meta.get("cursor"))?.value ?? null;
  const changes = batch.map(({ id, kind, body }) => ({ id, kind, body }));
  try {
    const body = await server.call("/api/sync", {
      method: "POST",
      json: { device, cursor, changes },
      headers: meantFor(owner),
    });
    const answer = readAnswer(
      body,
      batch.map((row) => row.id),
    );
    await takeIn(desk, answer, batch);
    return answer;
  } catch (error) {
    if (!(error instanceof TooLarge || error instanceof Refused)) throw error;
    if (batch.length === 0) throw new NoConnection(error.message);
    if (batch.length > 1) return "too_large"; // halve until the one at fault stands alone
    await park(desk, batch[0]!, error.message);
    return { results: [], changes: [], cursor, more: true };
  }
}

/** A refused change stays, says why, and holds up nothing else. */
export async function park(desk: Desk, row: OutboxRow, why: string): Promise<void> {
  await desk.outbox.update(row.seq!, { state: "refused", why });
}

/** Somebody else may sign in between two calls: the server takes nothing of one for the other. */
export const meantFor = (owner: string) => ({ "X-Person": owner });

async function sendPhotos({ desk, server, owner }: Sending): Promise<void> {
  const rows = await desk.outbox
    .where("state")
    .equals("waiting")
    .filter((row) => row.kind === "photo_bytes")
    .sortBy("size");
  for (const row of rows) await sendPhoto({ desk, server, owner }, row);
}

async function sendPhoto(
  { desk, server, owner }: Omit<Sending, "device">,
  row: OutboxRow,
): Promise<void> {
  const sha256 = String(row.body["sha256"]);
  const bytes = (await desk.photos.where("sha256").equals(sha256).first())?.bytes;
  if (!bytes || (await sha256Hex(bytes)) !== sha256) {
    return park(desk, row, "The picture is no longer whole on this phone. Take it again.");
  }
  try {
    const headers = {
      "Content-Type": "application/octet-stream",
      "Content-Digest": contentDigest(sha256),
      ...meantFor(owner),
    };
    const body = await server.call(`/api/photos/${sha256}`, {
      method: "PUT",
      bytes,
      headers,
      wait_ms: PHOTO_WAIT_MS,
    });
    const kept = body as { sha256?: unknown; kept?: unknown } | null;
    if (kept?.sha256 !== sha256 || kept.kept !== true)
      throw new NoConnection("Something else than the server answered.");
    await desk.outbox.delete(row.seq!);
  } catch (error) {
    if (!(error instanceof TooLarge || error instanceof Refused)) throw error;
    await park(desk, row, error.message);
  }
}

/** Send a refused thing as it is, once more. */
export async function tryAgain(desk: Desk, seq: number): Promise<void> {
  await desk.outbox.update(seq, { state: "waiting", why: "" });
}
