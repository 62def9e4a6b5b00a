/* Whose work is on the screen. The pointer lives outside the databases, since it chooses one. */
import Dexie from "dexie";
import { Desk, deskName } from "../db/database.ts";

export interface Owner {
  id: string;
  name: string;
}
const KEY = "inspect.owner";
const TABLES = ["guides", "machines", "inspections", "drafts", "revisions", "photos", "outbox"] as const;

/** The person whose desk is open, or null while nobody has signed in on this phone. */
export function currentOwner(): Owner | null {
  const kept = localStorage.getItem(KEY);
  if (kept === null) return null;
  const owner = JSON.parse(kept) as Partial<Owner>;
  return typeof owner.id === "string" && typeof owner.name === "string" ? { id: owner.id, name: owner.name } : null;
}

/** Open a person's desk. What was begun before anyone signed in becomes theirs; the desk of the
 *  person before is deleted unless something on it still waits to be sent. */
export async function becomeOwner(next: Owner): Promise<Desk> {
  const before = currentOwner();
  const desk = new Desk(next.id);
  if (before === null) await attachUnowned(desk);
  localStorage.setItem(KEY, JSON.stringify(next));
  if (before !== null && before.id !== next.id) await clearIfSent(before.id);
  return desk;
}

/** Leave: the desk is shut, and deleted unless unsent work is to be kept. */
export async function leave(desk: Desk, keepUnsent: boolean): Promise<Desk> {
  localStorage.removeItem(KEY);
  const unsent = keepUnsent && (await waitingCount(desk)) > 0;
  desk.close();
  if (!unsent) await Dexie.delete(desk.name);
  return new Desk(null);
}

export async function waitingCount(desk: Desk): Promise<number> {
  return desk.outbox.count();
}

/** Copy, then delete: cut off between the two it is simply done again, the ids being the same. */
async function attachUnowned(target: Desk): Promise<void> {
  if (!(await Dexie.exists(deskName(null)))) return;
  const unowned = new Desk(null);
  const rows = await Promise.all(TABLES.map((name) => unowned.table(name).toArray()));
  await target.transaction("rw", TABLES.map((name) => target.table(name)), async () => {
    for (const [i, name] of TABLES.entries()) {
      // The queue's own counter starts anew: its numbers belong to one desk.
      const own = name === "outbox" ? rows[i]!.map(({ seq: _seq, ...row }) => row as object) : rows[i]!;
      if (name === "outbox") await target.outbox.where("id").anyOf(own.map((row: { id: string }) => row.id)).delete();
      await target.table(name).bulkPut(own);
    }
  });
  unowned.close();
  await Dexie.delete(deskName(null));
}

async function clearIfSent(ownerId: string): Promise<void> {
  const desk = new Desk(ownerId);
  const waiting = await waitingCount(desk);
  desk.close();
  if (waiting === 0) await Dexie.delete(desk.name);
}
