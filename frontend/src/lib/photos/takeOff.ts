import type { Desk } from "../db/database.ts";
import type { OutboxRow, PhotoRow } from "../db/rows.ts";
import { guideFor } from "../guide/guides.ts";
import { currentByStep, stepKey } from "../record/current.ts";
import { draftOf } from "../record/draft.ts";
import type { Keeping } from "../record/keep.ts";
import { dropPhoto } from "./keep.ts";

/** Take a picture the server refused off every check that shows it, and out of the queue. */
export async function takeOffEverywhere(desk: Desk, row: OutboxRow): Promise<void> {
  const sha256 = String(row.body["sha256"]);
  const uses = await desk.photos.where("sha256").equals(sha256).toArray();
  for (const use of uses) await takeOff(desk, use);
  // Where no check shows it any more there is nothing to send either.
  await desk.outbox.delete(row.seq!);
}

async function takeOff(desk: Desk, use: PhotoRow): Promise<void> {
  const { inspection, sha256, checkpoint: id, at, part } = use;
  const kind = (await desk.inspections.get(inspection))?.setup.kind ?? "other";
  const checkpoint = (await guideFor(desk, inspection, kind))?.checkpoints[id];
  if (!checkpoint) return;
  const keeping: Keeping = { desk, inspection, place: { checkpoint: id, at, part }, checkpoint };
  const step = stepKey(keeping.place);
  const written = (await desk.drafts.get([inspection, step]))?.draft;
  const revisions = await desk.revisions.where("inspection").equals(inspection).toArray();
  const answer = currentByStep(revisions).get(step)?.[0]?.observation;
  const draft = written ?? (answer && draftOf(answer, checkpoint));
  if (draft) await dropPhoto(keeping, draft, sha256);
}
