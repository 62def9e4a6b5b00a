import type { InspectionRow, RevisionRow } from "../../lib/db/rows.ts";
import type { Guide } from "../../lib/documents.ts";
import type { Current, Danger, Walk } from "../../lib/walk/walk.ts";

/** The inspection a screen is about. */
export interface AtHand {
  id: string;
  row: InspectionRow;
  guide: Guide;
  revisions: RevisionRow[];
  current: Current;
  walk: Walk;
  dangers: Danger[];
}
