/* Signed on the glass: kept on this phone and sent like every other change. */
import type { Desk } from "../db/database.ts";
import { enqueue } from "../db/outbox.ts";
import { uuid7 } from "../ids.ts";

/** The glass: points are whole numbers, the origin at the upper left. */
export const GLASS = { width: 1000, height: 333 };
export type Point = [x: number, y: number];
export type How = "drawn" | "typed" | "refused";
/** What stands on the screen until it is kept. */
export interface SignDraft {
  signs: "customer" | "shop";
  how: Exclude<How, "refused">;
  name: string;
  explained_by: string;
  disagrees: string;
  /** Ids of the findings whose work is not to be done now. */
  declined: string[];
  strokes: Point[][];
}
export interface SignOff {
  id: string;
  inspection: string;
  signed_at: string;
  signs: SignDraft["signs"];
  how: How;
  name: string;
  strokes: Point[][];
  /** What the screen said when it was signed. */
  shown: { verdict: string; sum: string; rulebook: string };
  disagrees: string;
  declined: { what: string; risk: string }[];
  explained_by: string;
}

const keptKey = (inspection: string) => `signed:${inspection}`;
const draftKey = (inspection: string) => `signing:${inspection}`;

export function blankDraft(explained_by: string): SignDraft {
  return {
    signs: "customer",
    how: "drawn",
    name: "",
    explained_by,
    disagrees: "",
    declined: [],
    strokes: [],
  };
}

export async function draftOf(desk: Desk, inspection: string): Promise<SignDraft | null> {
  return ((await desk.meta.get(draftKey(inspection)))?.value as SignDraft | undefined) ?? null;
}

export async function keepDraft(desk: Desk, inspection: string, draft: SignDraft): Promise<void> {
  await desk.meta.put({ key: draftKey(inspection), value: draft });
}

/** All that were signed for an inspection, on this phone or another, in the order they came. */
export async function signOffsOf(desk: Desk, inspection: string): Promise<SignOff[]> {
  return ((await desk.meta.get(keptKey(inspection)))?.value as SignOff[] | undefined) ?? [];
}

/** Keep it, have it sent, and clear the screen's draft. Resolves when it is on disk. */
export async function keepSignOff(
  desk: Desk,
  said: Omit<SignOff, "id" | "signed_at">,
  now = new Date(),
): Promise<SignOff> {
  const signOff = { ...said, id: uuid7(), signed_at: now.toISOString() };
  await desk.transaction("rw", [desk.meta, desk.outbox], async () => {
    await addSignOff(desk, signOff);
    await desk.meta.delete(draftKey(said.inspection));
    await enqueueSignOff(desk, signOff);
  });
  return signOff;
}

/** One that came, or is known already. Call inside a transaction on `meta`. */
export async function addSignOff(desk: Desk, signOff: SignOff): Promise<void> {
  const known = await signOffsOf(desk, signOff.inspection);
  if (known.some((one) => one.id === signOff.id)) return;
  await desk.meta.put({ key: keptKey(signOff.inspection), value: [...known, signOff] });
}

export async function enqueueSignOff(desk: Desk, signOff: SignOff): Promise<void> {
  await enqueue(desk, {
    kind: "sign_off",
    subject: `sign_off:${signOff.id}`,
    inspection: signOff.inspection,
    body: { ...signOff },
  });
}

/** Every sign-off this desk knows. */
export async function allSignOffs(desk: Desk): Promise<SignOff[]> {
  const rows = await desk.meta.where("key").startsWith("signed:").toArray();
  return rows.flatMap((row) => row.value as SignOff[]);
}

/** What is added to a stroke: nothing where the finger has hardly moved or the line is long enough. */
export function withPoint(stroke: Point[], to: Point, room: number): Point[] {
  const last = stroke.at(-1);
  const point: Point = [onGlass(to[0], GLASS.width), onGlass(to[1], GLASS.height)];
  if (room <= 0) return stroke;
  if (last && Math.hypot(point[0] - last[0], point[1] - last[1]) < 5) return stroke;
  return [...stroke, point];
}

function onGlass(at: number, most: number): number {
  return Math.round(Math.min(Math.max(at, 0), most));
}
