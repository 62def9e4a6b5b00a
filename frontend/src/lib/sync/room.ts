/* Whether the browser keeps what is on this phone: its room, and its promise not to clear it. */

import { daysSince, type Unsent } from "./unsent.ts";

export interface Room {
  /** Bytes left for this site; null where the browser does not say. */
  left: number | null;
  /** The browser promised to clear nothing by itself. */
  promised: boolean;
}

/** Some browsers clear what a site keeps after seven days without a visit; said well before. */
export const OLD_DAYS = 3;
/** About twenty photos of a phone. */
export const LITTLE_ROOM_BYTES = 100_000_000;

export async function roomHere(): Promise<Room> {
  const storage = (navigator as { storage?: StorageManager }).storage;
  const estimate = await storage?.estimate?.();
  const { quota, usage } = estimate ?? {};
  return {
    left: quota === undefined || usage === undefined ? null : Math.max(0, quota - usage),
    promised: (await storage?.persisted?.()) ?? false,
  };
}

/** Ask the browser once to keep what is here, and only when there is something to keep: some put the
 *  question to the person. */
let asked = false;
export async function askToKeep(unsent: number): Promise<void> {
  const storage = (navigator as { storage?: StorageManager }).storage;
  if (asked || unsent === 0 || !storage?.persist) return;
  asked = true;
  if (!(await storage.persisted())) await storage.persist();
}

export interface Warning {
  id: "little_room" | "old";
  title: string;
  lines: string[];
}

/** What is said before it matters, of what waits in this browser. */
export function warningsOf(unsent: Unsent, room: Room, now: Date = new Date()): Warning[] {
  const warnings: Warning[] = [];
  if (room.left !== null && room.left < LITTLE_ROOM_BYTES) {
    warnings.push({
      id: "little_room",
      title: `Little room on this phone: ${(room.left / 1e6).toFixed(0)} MB.`,
      lines: ["All that is kept stays. Free some room before more photos, or send what waits."],
    });
  }
  const days = unsent.since === null ? 0 : daysSince(unsent.since, now);
  if (days >= OLD_DAYS && !room.promised) {
    warnings.push({
      id: "old",
      title: `Not sent for ${days} days.`,
      lines: [
        "Some browsers clear what a page keeps after seven days without a visit. Send it, or save it to a file. Put on the home screen, the page is kept longer.",
      ],
    });
  }
  return warnings;
}
