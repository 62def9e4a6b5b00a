/* Whose work is on the screen, and which database holds it. The pointers live outside the
   databases, since they choose one. */
import Dexie from "dexie";
import { Desk } from "../db/database.ts";
import { uuid7 } from "../ids.ts";
import { forgetNote } from "./cleared.ts";
import { forgetPerson } from "./remembered.ts";

export interface Owner {
  id: string;
  name: string;
  /** Works without a sign-in: the only way back to that is the desk itself (renewal.ts). */
  silent?: true;
}
const OWNER = "inspect.owner";
const DESK = "inspect.desk";
const DESKS = "inspect.desks";
/** In a desk's meta: the person without a sign-in who comes back to it on this phone. */
const SHUT_BY = "shut_private";
const TABLES = [
  "guides",
  "machines",
  "inspections",
  "drafts",
  "revisions",
  "photos",
  "photo_marks",
  "outbox",
] as const;

/** The person whose desk is open, or null while nobody has signed in on this phone. */
export function currentOwner(): Owner | null {
  const kept = localStorage.getItem(OWNER);
  if (kept === null) return null;
  const owner = JSON.parse(kept) as Partial<Owner>;
  return typeof owner.id === "string" && typeof owner.name === "string"
    ? { id: owner.id, name: owner.name, ...(owner.silent && { silent: true }) }
    : null;
}

export function openDesk(): Desk {
  const known = localStorage.getItem(DESK);
  const id = known ?? uuid7();
  if (known === null) localStorage.setItem(DESK, id);
  return new Desk(id);
}

/** Would signing in as this person mean pouring one desk into another? */
export function hasDesk(person: string): boolean {
  return desks()[person] !== undefined;
}

/** From now on this is the person. Work begun before anyone signed in becomes theirs where it
 *  stands: the same desk, so nothing open on a screen is disturbed. A person who has a desk here
 *  already gets that one, with the unowned work put on it. The desk of the person before is deleted
 *  unless it is still needed (`shut`), and what was remembered of them is forgotten. */
export async function becomeOwner(next: Owner, open: Desk): Promise<Desk> {
  const before = currentOwner();
  const own = desks()[next.id];
  if (before !== null && before.id !== next.id) forgetPerson();
  if (before?.id === next.id || (before === null && own === undefined)) {
    claim(next, open.id);
    return open;
  }
  const desk = new Desk(own ?? uuid7());
  if (before === null) await pour(open, desk);
  else await shut(before, open);
  claim(next, desk.id);
  return desk;
}

/** The same desk under another person without a sign-in: the server knows the first no more. */
export function handDeskOver(next: Owner, desk: Desk): void {
  const { [currentOwner()?.id ?? ""]: _forgotten, ...rest } = desks();
  localStorage.setItem(DESKS, JSON.stringify(rest));
  claim(next, desk.id);
}

/** Leave: the desk is shut, and deleted unless unsent work is to be kept. What can be looked at is
 *  the same for everybody and stays: the next walk may begin without a signal. */
export async function leave(desk: Desk, keepUnsent: boolean): Promise<Desk> {
  const owner = currentOwner();
  const guides = await desk.guides.where("id").startsWith("kind:").toArray();
  localStorage.removeItem(OWNER);
  localStorage.removeItem(DESK);
  forgetPerson();
  if (owner && keepUnsent) await shut(owner, desk);
  else await discard(owner?.id, desk);
  const empty = openDesk();
  await empty.guides.bulkPut(guides);
  return empty;
}

export async function waitingCount(desk: Desk): Promise<number> {
  return desk.outbox.count();
}

function desks(): Record<string, string> {
  return JSON.parse(localStorage.getItem(DESKS) ?? "{}") as Record<string, string>;
}

function claim(owner: Owner, deskId: string): void {
  localStorage.setItem(DESKS, JSON.stringify({ ...desks(), [owner.id]: deskId }));
  localStorage.setItem(DESK, deskId);
  localStorage.setItem(OWNER, JSON.stringify(owner));
}

/** What waits to be sent is kept; without a sign-in, whatever is on the desk: nothing else leads
 *  back to it. */
async function shut(owner: Owner, desk: Desk): Promise<void> {
  const needed = owner.silent ? await begunCount(desk) : await waitingCount(desk);
  if (needed === 0) return discard(owner.id, desk);
  if (owner.silent) await desk.meta.put({ key: SHUT_BY, value: owner });
  desk.close();
}

/** Inspections of which something was said. */
export async function begunCount(desk: Desk): Promise<number> {
  return desk.inspections.filter((row) => row.header !== null).count();
}

export interface ShutDesk {
  owner: Owner;
  inspections: number;
  waiting: number;
}

/** Work without a sign-in that somebody's sign-in shut away on this phone. */
export async function shutPrivateDesks(): Promise<ShutDesk[]> {
  const found: ShutDesk[] = [];
  for (const [id, deskId] of Object.entries(desks())) {
    if (deskId === localStorage.getItem(DESK)) continue;
    const desk = new Desk(deskId);
    const owner = (await desk.meta.get(SHUT_BY))?.value as Owner | undefined;
    if (owner?.id === id) {
      const [inspections, waiting] = [await begunCount(desk), await waitingCount(desk)];
      found.push({ owner, inspections, waiting });
    }
    desk.close();
  }
  return found;
}

/** Throw a shut desk away, with all that is on it. */
export async function throwAway(ownerId: string): Promise<void> {
  const id = desks()[ownerId];
  if (id !== undefined) await discard(ownerId, new Desk(id));
}

async function discard(ownerId: string | undefined, desk: Desk): Promise<void> {
  const { [ownerId ?? ""]: _gone, ...rest } = desks();
  localStorage.setItem(DESKS, JSON.stringify(rest));
  forgetNote(desk.id);
  desk.close();
  await Dexie.delete(desk.name);
}

/** Copy, then delete: cut off between the two it is simply done again, the ids being the same. */
async function pour(from: Desk, into: Desk): Promise<void> {
  const rows = await Promise.all(
    TABLES.map((name) => from.table(name).toArray() as Promise<Record<string, unknown>[]>),
  );
  await into.transaction(
    "rw",
    TABLES.map((name) => into.table(name)),
    async () => {
      for (const [i, name] of TABLES.entries()) {
        if (name !== "outbox") await into.table(name).bulkPut(rows[i]!);
      }
      for (const { seq: _theirs, ...row } of rows[TABLES.indexOf("outbox")]!) {
        // The queue's counter belongs to one desk; the change's own id tells whether it is here.
        if (
          (await into.outbox
            .where("id")
            .equals(row["id"] as string)
            .count()) === 0
        )
          await into.table("outbox").add(row);
      }
    },
  );
  forgetNote(from.id);
  from.close();
  await Dexie.delete(from.name);
}
