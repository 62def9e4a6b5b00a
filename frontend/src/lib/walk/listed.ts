/* What the first screen lists: open inspections with how far each is, and the closed ones. */
import type { Desk } from "../db/database.ts";
import type { InspectionRow, OutboxRow } from "../db/rows.ts";
import { guideFor } from "../guide/guides.ts";
import { currentByStep } from "../record/current.ts";
import { walkOf } from "./walk.ts";

export interface Listed {
  row: InspectionRow;
  seen: number;
  of: number;
  waiting: OutboxRow[];
}

/** Changed last first. A yard has hundreds of closed ones: of those nothing but the row is read. */
export async function listedOf(desk: Desk): Promise<{ open: Listed[]; closed: InspectionRow[] }> {
  const said = (await desk.inspections.toArray())
    .filter((row) => row.header !== null)
    .sort((a, b) => (a.changed_at < b.changed_at ? 1 : -1));
  return {
    open: await Promise.all(
      said.filter((row) => row.closed_at === null).map((row) => listed(desk, row)),
    ),
    closed: said.filter((row) => row.closed_at !== null),
  };
}

async function listed(desk: Desk, row: InspectionRow): Promise<Listed> {
  const guide = await guideFor(desk, row.id, row.setup.kind ?? "other");
  const revisions = await desk.revisions.where("inspection").equals(row.id).toArray();
  const walk = guide && walkOf(guide, row, currentByStep(revisions));
  const waiting = await desk.outbox.where("inspection").equals(row.id).toArray();
  return { row, seen: walk?.seen ?? 0, of: walk?.of ?? 0, waiting };
}
