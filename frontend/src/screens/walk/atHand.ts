import type { InspectionRow, RevisionRow } from "../../lib/db/rows.ts";
import type { Guide } from "../../lib/documents.ts";
import type { Current, Danger, Walk } from "../../lib/walk/walk.ts";

/** The inspection a screen is about. */
export interface AtHand {
  id: string;
  row: InspectionRow;
  guide: Guide;
  /** The guide was made for this very layout, not for the usual one of its kind. */
  guideIsOwn: boolean;
  revisions: RevisionRow[];
  current: Current;
  walk: Walk;
  dangers: Danger[];
}
