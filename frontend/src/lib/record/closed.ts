/* What a closed inspection came to: asked of the server once, then on this phone with or without a signal. */
import { NoConnection, type Server } from "../api/call.ts";
import type { Desk } from "../db/database.ts";
import type { CameTo, InspectionRow } from "../db/rows.ts";
import type { Assessment } from "../documents.ts";

interface Page {
  rows: {
    id: string;
    closed_at: string | null;
    closed_by: string | null;
    summary: CameTo | null;
  }[];
  next: string | null;
}

/** Ask for what is not known yet of closed inspections, but for those in `asked`: they were asked for in
 *  vain. Closed here and not there yet, their answers or pictures are still on their way. */
export async function learnWhatClosedCameTo(
  desk: Desk,
  server: Server,
  asked: Set<string>,
): Promise<void> {
  const closed = await desk.inspections
    .filter((row) => row.closed_at !== null && !row.came_to && !asked.has(row.id))
    .toArray();
  const missing = new Set(closed.map((row) => row.id));
  let next: string | null = "";
  while (missing.size > 0 && next !== null) {
    const page: Page = asPage(
      await server.call(`/api/inspections${next && `?after=${encodeURIComponent(next)}`}`),
    );
    for (const row of page.rows.filter((one) => missing.has(one.id) && one.closed_at !== null)) {
      if (row.summary !== null) missing.delete(row.id);
      const { summary: came_to, closed_by, closed_at } = row;
      await desk.inspections.update(row.id, { came_to, closed_by, closed_at });
    }
    next = page.next;
  }
  missing.forEach((id) => asked.add(id));
}

function asPage(body: unknown): Page {
  const page = body as Partial<Page> | null;
  if (!Array.isArray(page?.rows))
    throw new NoConnection("Something else than the server answered.");
  return { rows: page.rows, next: page.next ?? null };
}

/** Of a closed one without what it came to: null is the server's word that it was not graded. */
export function ungradedWords({ came_to }: Pick<InspectionRow, "came_to">): string {
  return came_to === null ? "not graded" : "grade not here yet";
}

/** By the day looked at; of one day, the one begun last first. */
export function latestFirst(rows: readonly InspectionRow[]): InspectionRow[] {
  const when = (row: InspectionRow) => `${row.setup.inspected_on} ${row.id}`;
  return [...rows].sort((a, b) => (when(a) < when(b) ? 1 : -1));
}

/** "Closed on 14 May 2026 by J. Marlow". `day`: how a moment is written as a day. */
export function closedWords(
  row: Pick<InspectionRow, "closed_at" | "closed_by">,
  day: (iso: string) => string,
): string {
  return `Closed on ${day(row.closed_at ?? "")}${row.closed_by ? ` by ${row.closed_by}` : ""}`;
}

/** What it said when it was closed, where that is not what is said of it now; else null. */
export function otherThen(row: InspectionRow, now: Assessment): string | null {
  const then = row.came_to;
  if (!then || (then.verdict === now.verdict.code && then.zone === now.machine.zone)) return null;
  return (
    `When it was closed it said: ${then.words}, zone ${then.zone} (rulebook ${then.rulebook}).` +
    " That stands in the lists. Now:"
  );
}
