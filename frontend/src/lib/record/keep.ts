/* Every write: the thing itself and the row that will send it, in one transaction. */
import type { Desk } from "../db/database.ts";
import { enqueue, refusedOf, sendAfter, untriedOf } from "../db/outbox.ts";
import type {
  AssemblyDraft,
  Header,
  InspectionRow,
  MachineRow,
  Place,
  RevisionRow,
  SetupDraft,
} from "../db/rows.ts";
import type { GuideCheckpoint, Observation } from "../documents.ts";
import { uuid7 } from "../ids.ts";
import { keepMarks, marksAt } from "../photos/marks.ts";
import { labelOf } from "./called.ts";
import { currentByStep, stepKey } from "./current.ts";
import { observationOf, type StepDraft } from "./draft.ts";
import { keepMachine } from "./machine.ts";
import { mergeChanges } from "./merge.ts";
import { headerOf } from "./record.ts";

export interface Keeping {
  desk: Desk;
  inspection: string;
  place: Place;
  checkpoint: GuideCheckpoint;
  now?: Date;
}

/** Keep what is on a step's screen. Resolves when it is on disk. Of a closed inspection only the
 *  screen is kept: nothing is answered any more. */
export async function keepDraft(keeping: Keeping, draft: StepDraft): Promise<void> {
  const { desk, inspection, place } = keeping;
  const now = (keeping.now ?? new Date()).toISOString();
  await desk.transaction(
    "rw",
    [desk.drafts, desk.revisions, desk.outbox, desk.inspections],
    async () => {
      await desk.drafts.put({ inspection, step: stepKey(place), draft, changed_at: now });
      if ((await desk.inspections.get(inspection))?.closed_at) return;
      await revise(keeping, observationOf(draft, keeping.checkpoint, place), now);
      await desk.inspections.update(inspection, { changed_at: now });
    },
  );
}

/** An answer given before its parts were told apart becomes that of one of them. */
export async function moveAnswer(
  keeping: Omit<Keeping, "place">,
  from: RevisionRow,
  to: Place,
): Promise<void> {
  const { desk, inspection } = keeping;
  const now = (keeping.now ?? new Date()).toISOString();
  const place = { checkpoint: to.checkpoint, at: to.at, part: to.part };
  await desk.transaction(
    "rw",
    [desk.drafts, desk.revisions, desk.photo_marks, desk.outbox, desk.inspections],
    async () => {
      if ((await desk.inspections.get(inspection))?.closed_at || !from.observation) return;
      const written = await desk.drafts.get([inspection, stepKey(from)]);
      if (written) {
        await desk.drafts.put({ ...written, step: stepKey(place), changed_at: now });
        await desk.drafts.delete([inspection, stepKey(from)]);
      }
      const { part: _part, ...rest } = from.observation;
      const moved = { ...rest, ...(place.part !== null && { part: place.part }) };
      await revise({ ...keeping, place }, moved, now);
      await revise({ ...keeping, place: from }, null, now);
      const drawn = await desk.photo_marks.where({ inspection }).toArray();
      for (const [sha256, marks] of marksAt(drawn, stepKey(from)))
        await keepMarks(desk, { inspection, place, sha256 }, marks, keeping.now);
      await desk.inspections.update(inspection, { changed_at: now });
    },
  );
}

async function revise(
  keeping: Keeping,
  observation: Omit<Observation, "id"> | null,
  now: string,
): Promise<void> {
  const { desk, inspection, place } = keeping;
  const rows = await desk.revisions
    .where("[inspection+checkpoint]")
    .equals([inspection, place.checkpoint])
    .toArray();
  const current = currentByStep(rows).get(stepKey(place)) ?? [];
  const newest = current[0];
  // Two that stand side by side are settled by an answer, even one that says the same as the newer.
  if (
    current.length < 2 &&
    JSON.stringify(withoutTime(newest?.observation)) === JSON.stringify(withoutTime(observation))
  )
    return;
  if (!newest && observation === null) return;
  const untried =
    newest && current.length === 1 && (await untriedOf(desk, `revision:${newest.id}`));
  if (untried && observation === null && newest.replaces.length === 0) {
    await desk.revisions.delete(newest.id);
    await desk.outbox.delete(untried.seq!);
    return;
  }
  const refused = newest && current.length === 1 && (await takeRefused(desk, newest));
  if (refused && observation === null && newest.replaces.length === 0) return;
  const row: RevisionRow = {
    ...place,
    id: untried ? newest.id : uuid7(),
    inspection,
    replaces: untried || refused ? newest.replaces : current.map((one) => one.id),
    recorded_at: now,
    position: 0,
    by: null,
    observation: observation && { ...observation, observed_at: now },
  };
  await desk.revisions.put(row);
  await enqueue(desk, {
    kind: "observation",
    subject: `revision:${row.id}`,
    inspection,
    body: revisionBody(row),
  });
}

/** The server never took it: a new answer stands in its place, not upon it. */
async function takeRefused(desk: Desk, row: RevisionRow): Promise<boolean> {
  const taken = await refusedOf(desk, `revision:${row.id}`).delete();
  if (taken > 0) await desk.revisions.delete(row.id);
  return taken > 0;
}

function withoutTime(observation: Omit<Observation, "id"> | null | undefined): unknown {
  if (!observation) return null;
  const { observed_at: _time, ...rest } = observation;
  return rest;
}

/** What is sent of an answer. */
export function revisionBody(row: RevisionRow): Record<string, unknown> {
  const { id, inspection, replaces, recorded_at, observation, checkpoint, at, part } = row;
  return { id, inspection, replaces, recorded_at, observation, checkpoint, at, part };
}

/** Keep the set-up as typed; once the kind is said, header and machine wait to be sent: the header with
 *  all that was known of it and what was changed here put on it, of the machine what was changed. */
export async function keepSetup(desk: Desk, id: string, setup: SetupDraft): Promise<void> {
  const now = new Date().toISOString();
  await desk.transaction("rw", [desk.inspections, desk.machines, desk.outbox], async () => {
    const row = await desk.inspections.get(id);
    if (!row || row.closed_at !== null) return;
    const typed = headerOf(setup);
    const before = headerOf(row.setup);
    const header = typed && mergeChanges(before, typed, row.header ?? undefined);
    const changed = JSON.stringify(header) !== JSON.stringify(row.header);
    const machine = header ? (row.machine ?? uuid7()) : row.machine;
    await desk.inspections.put({ ...row, setup, header, machine, changed_at: now });
    if (!header || !machine || !changed) return;
    const subjects = [`machine:${machine}`, `inspection:${id}`];
    const refused = await desk.outbox
      .where("subject")
      .anyOf(subjects)
      .filter((one) => one.state === "refused")
      .count();
    // Before the first write there is no header: then the set-up holds the machine as it was known.
    const began = machineRow(machine, row.setup, row.header ?? before);
    await keepMachine(desk, id, { before: began, now: machineRow(machine, setup, header) });
    await enqueue(desk, {
      kind: "inspection",
      subject: `inspection:${id}`,
      inspection: id,
      body: { id, machine, header, recorded_at: now },
    });
    if (refused > 0) await sendAfter(desk, id);
  });
}

function machineRow(id: string, setup: SetupDraft, header: Header | null): MachineRow {
  return {
    id,
    label: labelOf(setup),
    kind: header?.machine.kind ?? "",
    identification_number: setup.identification_number.trim(),
    assemblies: header?.assemblies ?? [],
  };
}

/** Keep the assemblies with their figures; all else of the set-up stays as it is on disk. */
export async function keepLayout(desk: Desk, id: string, layout: AssemblyDraft[]): Promise<void> {
  await desk.transaction("rw", [desk.inspections, desk.machines, desk.outbox], async () => {
    const row = await desk.inspections.get(id);
    if (row) await keepSetup(desk, id, { ...row.setup, layout });
  });
}

/** A new inspection, not yet said of what. One that was left blank is used again. */
export async function beginInspection(
  desk: Desk,
  setup: SetupDraft,
  machine: string | null = null,
): Promise<string> {
  const blank = await desk.inspections.filter((row) => row.header === null).first();
  const now = new Date().toISOString();
  const row: InspectionRow = {
    id: blank?.id ?? uuid7(),
    machine,
    header: null,
    setup,
    began_at: now,
    changed_at: now,
    closed_at: null,
  };
  await desk.inspections.put(row);
  return row.id;
}
