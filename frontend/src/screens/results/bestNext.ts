import type { Assessment, InspectionRecord } from "../../lib/documents.ts";
import { stepKey } from "../../lib/record/current.ts";

/** The unchecked item that is best looked at next: the first the engine lists that has no answer
 *  since, not even that it could not be reached. undefined where there is none. */
export function bestNext(
  assessment: Assessment,
  record: InspectionRecord,
): Assessment["unchecked"][number] | undefined {
  const answered = new Set(
    (record.observations ?? []).map(({ checkpoint, at = null, part = null }) =>
      stepKey({ checkpoint, at, part }),
    ),
  );
  return assessment.unchecked.find(({ id }) => !answered.has(id));
}
