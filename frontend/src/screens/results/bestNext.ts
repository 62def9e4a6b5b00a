import type { Assessment, InspectionRecord } from "../../lib/documents.ts";
import { stepKey } from "../../lib/record/current.ts";

type Unchecked = Assessment["unchecked"][number];

/** The unchecked items in the engine's order, best to look at next first, that have no answer since, not
 *  even that they could not be reached. */
export function worthALook(assessment: Assessment, record: InspectionRecord): Unchecked[] {
  const answered = new Set(
    (record.observations ?? []).map(({ checkpoint, at = null, part = null }) =>
      stepKey({ checkpoint, at, part }),
    ),
  );
  return assessment.unchecked.filter(({ id }) => !answered.has(id));
}

/** undefined where there is none. */
export function bestNext(assessment: Assessment, record: InspectionRecord): Unchecked | undefined {
  return worthALook(assessment, record)[0];
}
