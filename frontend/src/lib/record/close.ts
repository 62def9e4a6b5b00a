/* The end of an inspection: what was answered until now is all of it. */
import type { Desk } from "../db/database.ts";
import { enqueue } from "../db/outbox.ts";
import { uuid7 } from "../ids.ts";

/** Close it on this phone and have the server told. The closing lists every answer and picture this
 *  phone knows, and takes effect on the server once they are all there; what the server refused is
 *  not waited for. Closing twice does nothing. */
export async function closeInspection(desk: Desk, id: string, now = new Date()): Promise<void> {
  await desk.transaction(
    "rw",
    [desk.inspections, desk.revisions, desk.photos, desk.outbox],
    async () => {
      const row = await desk.inspections.get(id);
      if (!row?.header || row.closed_at !== null) return;
      const closed_at = now.toISOString();
      const body = await closeBody(desk, id, closed_at);
      await desk.inspections.update(id, { closed_at, changed_at: closed_at });
      await enqueue(desk, {
        kind: "close",
        subject: `close:${id}`,
        inspection: id,
        body,
      });
    },
  );
}

/** What is sent of a closing, as the desk stands. */
export async function closeBody(
  desk: Desk,
  id: string,
  closed_at: string,
): Promise<Record<string, unknown>> {
  const of = { inspection: id };
  const refused = new Set(
    (await desk.outbox.where(of).toArray())
      .filter((one) => one.state === "refused")
      .map((one) => one.subject),
  );
  const revisions = await desk.revisions.where(of).toArray();
  const taken = new Set<string>();
  await desk.photos.where(of).each((one) => taken.add(one.sha256)); // never all their bytes at once
  return {
    id: uuid7(Date.parse(closed_at)),
    inspection: id,
    observations: revisions.map((one) => one.id).filter((one) => !refused.has(`revision:${one}`)),
    photos: [...taken].filter((sha256) => !refused.has(`bytes:${sha256}`)),
    closed_at,
  };
}
