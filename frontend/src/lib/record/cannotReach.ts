import type { Desk } from "../db/database.ts";
import type { Guide, GuideStep } from "../documents.ts";
import { EMPTY_DRAFT } from "./draft.ts";
import { keepDraft } from "./keep.ts";

interface Many {
  desk: Desk;
  inspection: string;
  guide: Guide;
  steps: readonly GuideStep[];
  reason: string;
}

/** Say of several checks at once that they could not be reached; what was written on a step that has
 *  no answer yet stays there. */
export async function cannotReachAll({
  desk,
  inspection,
  guide,
  steps,
  reason,
}: Many): Promise<void> {
  await desk.transaction(
    "rw",
    [desk.drafts, desk.revisions, desk.outbox, desk.inspections],
    async () => {
      for (const step of steps) {
        const checkpoint = guide.checkpoints[step.checkpoint];
        if (!checkpoint) continue;
        const before = (await desk.drafts.get([inspection, step.id]))?.draft ?? EMPTY_DRAFT;
        const place = { checkpoint: step.checkpoint, at: step.at, part: step.part };
        await keepDraft(
          { desk, inspection, place, checkpoint },
          { ...before, status: "no_access", reason },
        );
      }
    },
  );
}
