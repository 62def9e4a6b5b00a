/* A browser may clear what a page keeps, some after seven days without a visit. A note outside the
   databases tells it afterwards: an empty screen would look as if nothing had ever been written. */
import type { Desk } from "../db/database.ts";

const NOTE = "inspect.kept:";
const MARK = "kept_here";

/** What was noted last of a desk that is empty now. */
export interface Cleared {
  unsent: number;
  at: string;
}

/** Note what waits on a desk. On the desk first: cut off between the two, nothing is missed. */
export async function noteKept(desk: Desk, unsent: number, now = new Date()): Promise<void> {
  if ((await desk.inspections.count()) === 0) return;
  await desk.meta.put({ key: MARK, value: true });
  const note: Cleared = { unsent, at: now.toISOString() };
  localStorage.setItem(NOTE + desk.id, JSON.stringify(note));
}

/** null where the desk is as it was left, or was never used. */
export async function clearedFrom(desk: Desk): Promise<Cleared | null> {
  const note = localStorage.getItem(NOTE + desk.id);
  if (note === null || (await desk.meta.get(MARK)) !== undefined) return null;
  return JSON.parse(note) as Cleared;
}

/** It was said, or the desk was thrown away on purpose. */
export function forgetNote(deskId: string): void {
  localStorage.removeItem(NOTE + deskId);
}
