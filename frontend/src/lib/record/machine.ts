/* What is known of a machine, and what is said of it: only what was changed here travels, so that a
   phone that knows less than another takes nothing away from it. */
import type { Desk } from "../db/database.ts";
import { enqueue } from "../db/outbox.ts";
import type { MachineRow } from "../db/rows.ts";
import { changesIn, putOver, saidTogether } from "./specifications.ts";

const WORDS = ["label", "kind", "identification_number"] as const;
/** The body of a machine change; a field that is not there was not said. */
export interface MachineSaid extends Partial<Record<(typeof WORDS)[number], string | null>> {
  id: string;
  assemblies?: unknown[];
}

/** Keep what was changed of a machine between two states of one set-up, and have it sent. Call inside the
 *  transaction that writes the set-up. */
export async function keepMachine(
  desk: Desk,
  inspection: string,
  { before, now }: { before: MachineRow; now: MachineRow },
): Promise<void> {
  const known = await desk.machines.get(now.id);
  const said = known ? changed(before, now) : { ...now };
  if (said === null) return;
  await desk.machines.put(withSaid(known, said));
  const subject = `machine:${now.id}`;
  // These are replaced by what is enqueued now, so that says all of it.
  const unheard = (await desk.outbox.where({ subject }).sortBy("seq")).filter(
    (row) => row.state === "refused" || row.tried === 0,
  );
  const all = [...unheard.map((row) => row.body as unknown as MachineSaid), said];
  await enqueue(desk, { kind: "machine", subject, inspection, body: { ...all.reduce(together) } });
}

function changed(before: MachineRow, now: MachineRow): MachineSaid | null {
  const words = WORDS.filter((word) => before[word] !== now[word]);
  const assemblies = changesIn(before.assemblies, now.assemblies);
  if (words.length === 0 && assemblies.length === 0) return null;
  return {
    id: now.id,
    ...Object.fromEntries(words.map((word) => [word, now[word]])),
    ...(assemblies.length > 0 && { assemblies }),
  };
}

function together(first: MachineSaid, second: MachineSaid): MachineSaid {
  const assemblies = saidTogether(first.assemblies ?? [], second.assemblies ?? []);
  return { ...first, ...second, ...(assemblies.length > 0 && { assemblies }) };
}

/** The machine as known with what is said put over it. */
export function withSaid(known: MachineRow | undefined, said: MachineSaid): MachineRow {
  const word = (one: (typeof WORDS)[number]) => (one in said ? said[one] : known?.[one]) ?? "";
  return {
    id: said.id,
    label: word("label"),
    kind: word("kind"),
    identification_number: word("identification_number"),
    assemblies: putOver(known?.assemblies ?? [], said.assemblies ?? []),
  };
}
