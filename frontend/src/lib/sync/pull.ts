/* What the server answers: read strictly, then taken in with one transaction. */
import { NoConnection } from "../api/call.ts";
import type { Desk } from "../db/database.ts";
import type {
  Header,
  InspectionRow,
  OutboxRow,
  PhotoMarksRow,
  RevisionRow,
  SetupDraft,
} from "../db/rows.ts";
import { phoneUnits } from "../people/remembered.ts";
import { type MachineSaid, withSaid } from "../record/machine.ts";
import { asReport, keepIssued } from "../record/issuedReport.ts";
import { headerOf } from "../record/record.ts";
import { setupOf } from "../record/setup.ts";
import { addSignOff, type SignOff } from "../record/signOff.ts";

type Outcome = "accepted" | "already" | "refused";
export interface Answer {
  results: { id: string; outcome: Outcome; why: string | null; position?: number | null }[];
  changes: {
    position: number;
    id: string;
    kind: string;
    body: Record<string, unknown>;
    by: string | null;
  }[];
  cursor: unknown;
  more: boolean;
}

/** The answer counts only if it names every id that was asked about. */
export function readAnswer(body: unknown, asked: string[]): Answer {
  const answer = body as Partial<Record<keyof Answer, unknown>> | null;
  const results = Array.isArray(answer?.results) ? (answer.results as Answer["results"]) : null;
  const changes = Array.isArray(answer?.changes) ? (answer.changes as Answer["changes"]) : null;
  const known = new Set(
    results
      ?.filter((one) => ["accepted", "already", "refused"].includes(one.outcome))
      .map((one) => one.id),
  );
  if (!results || !changes || !asked.every((id) => known.has(id))) {
    throw new NoConnection("Something else than the server answered.");
  }
  return { results, changes, cursor: answer?.cursor ?? null, more: answer?.more === true };
}

export async function takeIn(desk: Desk, answer: Answer, batch: OutboxRow[]): Promise<void> {
  await desk.transaction(
    "rw",
    [
      desk.outbox,
      desk.inspections,
      desk.machines,
      desk.revisions,
      desk.drafts,
      desk.photo_marks,
      desk.meta,
    ],
    async () => {
      const byId = new Map(batch.map((row) => [row.id, row]));
      for (const result of answer.results) {
        const row = byId.get(result.id);
        if (row) await takeResult(desk, row, result);
      }
      for (const change of answer.changes) await takeChange(desk, change, own(answer, byId));
      if (answer.cursor !== null) await desk.meta.put({ key: "cursor", value: answer.cursor });
    },
  );
}

interface Own {
  row: OutboxRow;
  position: number;
}
/** What this phone has just sent, where the server put it. */
function own(answer: Answer, byId: Map<string, OutboxRow>): Own[] {
  return answer.results.flatMap(({ id, outcome, position }) => {
    const row = byId.get(id);
    return row && outcome !== "refused" && typeof position === "number" ? [{ row, position }] : [];
  });
}

async function takeResult(
  desk: Desk,
  row: OutboxRow,
  { outcome, why, position }: Answer["results"][number],
): Promise<void> {
  if (outcome === "refused")
    return void (await desk.outbox.update(row.seq!, { state: "refused", why: why ?? "" }));
  await desk.outbox.delete(row.seq!);
  // From now on it stands where the server put it, on this phone as on every other.
  if (typeof position !== "number") return;
  const id = String(row.body["id"]);
  if (row.kind === "observation") await desk.revisions.update(id, { position });
  if (row.kind === "photo_marks") await desk.photo_marks.update(id, { position });
}

async function takeChange(
  desk: Desk,
  change: Answer["changes"][number],
  sent: Own[],
): Promise<void> {
  const { body } = change;
  if (change.kind === "machine") return takeMachine(desk, change, sent);
  if (change.kind === "inspection") {
    const subject = `inspection:${String(body["id"])}`;
    // What this phone has just said stands later in the log.
    if (sent.some((one) => one.row.subject === subject && one.position > change.position)) return;
    return takeInspection(desk, body as unknown as InspectionBody);
  }
  if (change.kind === "observation") return takeRevision(desk, change);
  if (change.kind === "photo_marks") {
    const row = body as unknown as PhotoMarksRow;
    const { at = null, part = null } = row;
    await desk.photo_marks.put({ ...row, at, part, position: change.position });
  }
  if (change.kind === "sign_off") return addSignOff(desk, body as unknown as SignOff);
  if (change.kind === "report") {
    const report = asReport(body);
    if (report) await keepIssued(desk, String(body["inspection"]), report);
  }
  if (change.kind === "close")
    await desk.inspections.update(String(body["inspection"]), {
      closed_at: String(body["closed_at"]),
      closed_by: change.by,
    });
}

/** What this phone still has to say about the same thing is newer than what comes. */
async function waits(desk: Desk, subject: string): Promise<boolean> {
  return (await desk.outbox.where("subject").equals(subject).count()) > 0;
}

/** As the server merges it: in the order of its log, and what it has not heard yet comes last. */
async function takeMachine(
  desk: Desk,
  { body, position }: Answer["changes"][number],
  sent: Own[],
): Promise<void> {
  const subject = `machine:${String(body["id"])}`;
  const later = [
    ...sent.filter((one) => one.row.subject === subject && one.position > position),
    ...(await desk.outbox.where({ subject }).sortBy("seq")).map((row) => ({ row })),
  ].map(({ row }) => row.body);
  let known = await desk.machines.get(String(body["id"]));
  for (const said of [body, ...later]) known = withSaid(known, said as unknown as MachineSaid);
  await desk.machines.put(known!);
}

interface InspectionBody {
  id: string;
  machine: string | null;
  header: Header;
  recorded_at: string;
}

async function takeInspection(desk: Desk, body: InspectionBody): Promise<void> {
  if (await waits(desk, `inspection:${body.id}`)) return;
  const known = await desk.inspections.get(body.id);
  // This phone's own words come back: what it has typed says more than the header made of it.
  const own = known && sorted(headerOf(known.setup)) === sorted(body.header);
  const setup: SetupDraft = own ? known.setup : setupOf(body.header, known?.setup, phoneUnits());
  const row: InspectionRow = {
    id: body.id,
    machine: body.machine,
    header: body.header,
    setup,
    began_at: known?.began_at ?? body.recorded_at,
    changed_at: known?.changed_at ?? body.recorded_at,
    closed_at: known?.closed_at ?? null,
    ...(known?.closed_by !== undefined && { closed_by: known.closed_by }),
  };
  await desk.inspections.put(row);
}

/** As a text that does not depend on the order of keys, which the server sorts. */
export function sorted(value: unknown): string {
  return JSON.stringify(value, (_key, one: unknown) =>
    typeof one === "object" && one !== null && !Array.isArray(one)
      ? Object.fromEntries(Object.entries(one).sort(([a], [b]) => (a < b ? -1 : 1)))
      : one,
  );
}

async function takeRevision(desk: Desk, change: Answer["changes"][number]): Promise<void> {
  const body = change.body as unknown as Omit<RevisionRow, "position" | "by">;
  const known = await desk.revisions.get(body.id);
  // Said before a closing, come after it: what the closed one came to is asked for again.
  await desk.inspections
    .where("id")
    .equals(body.inspection)
    .modify((row) => ("came_to" in row ? delete row.came_to : false));
  await desk.revisions.put({
    id: body.id,
    inspection: body.inspection,
    checkpoint: body.checkpoint,
    at: body.at ?? null,
    part: body.part ?? null,
    replaces: body.replaces,
    recorded_at: body.recorded_at,
    observation: body.observation,
    position: change.position,
    by: change.by ?? null,
  });
  // Written on another phone: what stood on this phone's screen is no longer the newest word.
  if (!known)
    await desk.drafts
      .where("[inspection+step]")
      .equals([body.inspection, stepOf(body)])
      .delete();
}

function stepOf(body: { checkpoint: string; at?: string | null; part?: string | null }): string {
  const where = [body.at, body.part].filter((one) => one).join("/");
  return where ? `${body.checkpoint}@${where}` : body.checkpoint;
}
