import { enqueue, enqueueBytes } from "../db/outbox.ts";
import type { PhotoRow } from "../db/rows.ts";
import { uuid7 } from "../ids.ts";
import { stepKey } from "../record/current.ts";
import type { StepDraft } from "../record/draft.ts";
import { keepDraft, type Keeping } from "../record/keep.ts";
import { isPicture } from "./kind.ts";
import { sha256Hex } from "./sha256.ts";

/** The picture is not on this phone; the message says why and what to do. */
export class NotKept extends Error {}

const LARGEST_BYTES = 25 * 1024 * 1024; // what the server takes

/** Keep a picture of this step: bytes, what it shows and both outbox rows in one transaction, then
 *  read back and compared. Only when this resolves may the screen say "kept on this phone". */
export async function keepPhoto(
  keeping: Keeping,
  draft: StepDraft,
  file: File,
  source: "camera" | "gallery",
): Promise<StepDraft> {
  const bytes = await bytesOf(file);
  if (!isPicture(new Uint8Array(bytes, 0, Math.min(16, bytes.byteLength))))
    throw new NotKept(
      "That file is not a picture this program knows. Choose a JPEG, PNG, WebP or HEIC picture.",
    );
  const sha256 = await sha256Hex(bytes);
  const { desk, inspection, place } = keeping;
  const next = { ...draft, photos: [...new Set([...draft.photos, sha256])] };
  // Chosen twice, or once more after the app was ended over it: it is still one picture of this step.
  const before = (await usesAt(keeping, sha256))[0]?.id;
  const id = before ?? uuid7();
  const taken_at = (keeping.now ?? new Date()).toISOString();
  const use = { id, inspection, sha256, ...place, taken_at, source, name: file.name };
  try {
    await desk.transaction(
      "rw",
      [desk.photos, desk.drafts, desk.revisions, desk.outbox, desk.inspections],
      async () => {
        if (before !== undefined) await desk.photos.update(before, { bytes });
        else {
          await desk.photos.put({ ...use, bytes, type: file.type });
          await enqueue(desk, { kind: "photo", subject: `photo:${id}`, inspection, body: use });
        }
        await enqueueBytes(desk, { sha256, inspection, size: bytes.byteLength });
        await keepDraft(keeping, next);
      },
    );
  } catch (error) {
    if (isFull(error))
      throw new NotKept(
        "This phone is full: there is no room for the picture. All the rest is kept.",
      );
    throw error;
  }
  await compare(keeping, id, sha256);
  return next;
}

async function bytesOf(file: File): Promise<ArrayBuffer> {
  if (file.size === 0) throw new NotKept("That picture is empty. Take it again.");
  if (file.size > LARGEST_BYTES)
    throw new NotKept("That file is over 25 MB. Take a smaller picture.");
  try {
    return await file.arrayBuffer();
  } catch (error) {
    if (error instanceof DOMException)
      throw new NotKept("That picture could not be read. Take it again.");
    throw error;
  }
}

async function compare(keeping: Keeping, id: string, sha256: string): Promise<void> {
  const back = (await keeping.desk.photos.get(id))?.bytes;
  if (!back || (await sha256Hex(back)) !== sha256)
    throw new NotKept("This phone did not keep the picture. Take it again.");
}

function isFull(error: unknown): boolean {
  const names = [error, (error as { inner?: unknown } | null)?.inner].map(
    (one) => (one as { name?: string } | null)?.name,
  );
  return names.includes("QuotaExceededError");
}

/** Take a picture off a step. Bytes that were never sent go too; what the server has stays there. */
export async function dropPhoto(
  keeping: Keeping,
  draft: StepDraft,
  sha256: string,
): Promise<StepDraft> {
  const { desk } = keeping;
  const next = { ...draft, photos: draft.photos.filter((one) => one !== sha256) };
  await desk.transaction(
    "rw",
    [desk.photos, desk.drafts, desk.revisions, desk.outbox, desk.inspections],
    async () => {
      const here = await usesAt(keeping, sha256);
      await desk.photos.bulkDelete(here.map((use) => use.id));
      const subjects = here.map((use) => `photo:${use.id}`);
      if ((await desk.photos.where("sha256").equals(sha256).count()) === 0)
        subjects.push(`bytes:${sha256}`);
      await desk.outbox
        .where("subject")
        .anyOf(subjects)
        .filter((row) => row.tried === 0 || row.state === "refused")
        .delete();
      await keepDraft(keeping, next);
    },
  );
  return next;
}

/** This picture where it stands on this step. */
async function usesAt({ desk, inspection, place }: Keeping, sha256: string): Promise<PhotoRow[]> {
  const uses = await desk.photos.where("sha256").equals(sha256).toArray();
  return uses.filter((use) => use.inspection === inspection && stepKey(use) === stepKey(place));
}
