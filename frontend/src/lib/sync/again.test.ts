import { afterEach, beforeEach, expect, test } from "vitest";
import { OtherLog, Server } from "../api/call.ts";
import { Desk } from "../db/database.ts";
import { enqueue } from "../db/outbox.ts";
import { uuid7 } from "../ids.ts";
import { enqueueLacking } from "./again.ts";
import { Queue, type QueueState } from "./queue.ts";
import { sendAll, type Sending } from "./send.ts";

interface Change {
  id: string;
  kind: string;
  body: Record<string, unknown>;
}
const json = (body: unknown, status = 200) =>
  new Response(JSON.stringify(body), { status, headers: { "Content-Type": "application/json" } });

/** A server put back from a copy: two of its changes at a time; a cursor beyond its log is told. */
class Restored {
  kept: string[] = [];
  constructor(readonly log: Change[]) {}
  readonly server = new Server(async (path, init) => {
    if (path === "/api/session")
      return json({ person: { id: "7", name: "Okafor" }, organisation: null, csrf: "t" });
    if (path.startsWith("/api/photos/"))
      return json({ sha256: path.split("/").at(-1), kept: true, width: 1, height: 1 });
    const sent = JSON.parse(String(init.body)) as { cursor: string | null; changes: Change[] };
    const at = Number(sent.cursor ?? 0);
    if (at > this.log.length)
      return json({ code: "other_log", detail: "It lacks what this phone has seen." }, 409);
    const results = sent.changes.map(({ id, kind, body }) => {
      this.log.push({ id, kind, body });
      this.kept.push(`${kind} ${String(body["id"])}`);
      return { id, outcome: "accepted", why: null, position: this.log.length };
    });
    const own = sent.changes.map((one) => one.id);
    const next = this.log.slice(at, at + 2 + own.length);
    const changes = next
      .map((one, n) => ({ ...one, position: at + n + 1, by: "Okafor" }))
      .filter((one) => !own.includes(one.id));
    const cursor = at + next.length;
    return json({ results, changes, cursor: String(cursor), more: cursor < this.log.length });
  });
}

let desk: Desk;
beforeEach(() => (desk = new Desk(uuid7())));
afterEach(async () => {
  desk.close();
  await desk.delete();
});

const place = { checkpoint: "oil", at: null, part: null };
const header = (label: string) =>
  ({ format: "suspension-record/1", purpose: null, machine: { label, kind: "quad" } }) as never;
const MACHINE = { id: "m", label: "Quad", kind: "quad", identification_number: "", assemblies: [] };
const revision = (id: string, by: string | null = null) => ({
  ...place,
  id,
  inspection: "i",
  replaces: [],
  recorded_at: "2026-05-14T10:05:00Z",
  position: 3,
  by,
  observation: { checkpoint: "oil", status: "checked", seen: id } as never,
});
const bodyOf = ({ position: _, by: __, ...body }: ReturnType<typeof revision>) => body;

async function deskThatHasReadMore(): Promise<void> {
  const row = { machine: "m", setup: { kind: null } as never, began_at: "2026-05-14T10:00:00Z" };
  await desk.machines.bulkPut([
    { ...MACHINE, identification_number: "VIN-1" }, // written after the copy was made
    { ...MACHINE, id: "n", label: "Same as there" },
  ]);
  await desk.inspections.bulkPut([
    {
      ...row,
      id: "i",
      header: header("As it was"),
      changed_at: "2026-05-14T10:00:00Z",
      closed_at: null,
    },
    {
      ...row,
      id: "j",
      header: header("Corrected"),
      changed_at: "2026-05-15T09:00:00Z",
      closed_at: null,
    },
    {
      ...row,
      id: "k",
      machine: null,
      header: header("Lost"),
      changed_at: "2026-05-15T08:00:00Z",
      closed_at: null,
    },
  ]);
  await desk.revisions.bulkPut([revision("kept"), revision("lost"), revision("another's", "Bo")]);
  await desk.meta.put({ key: "cursor", value: "99" });
}

const COPY: Change[] = [
  { id: "c1", kind: "machine", body: { ...MACHINE } },
  { id: "c2", kind: "machine", body: { ...MACHINE, id: "n", label: "Same as there" } },
  ...["i", "j"].map((id) => ({
    id: `c-${id}`,
    kind: "inspection",
    body: {
      id,
      machine: "m",
      header: header(id === "i" ? "As it was" : "Not yet corrected"),
      recorded_at: "2026-05-14T10:00:00Z",
    },
  })),
  { id: "c5", kind: "observation", body: bodyOf(revision("kept")) },
];

test("a server put back from a copy is told apart, and gets what it lacks once", async () => {
  await deskThatHasReadMore();
  const restored = new Restored([...COPY]);
  const sending: Sending = { desk, server: restored.server, owner: "7", device: "d" };
  await enqueue(desk, {
    kind: "observation",
    inspection: "i",
    subject: "revision:new",
    body: bodyOf(revision("new")),
  });
  await desk.revisions.put({ ...revision("new"), position: 0 });

  await expect(sendAll(sending)).rejects.toThrow(OtherLog);
  expect((await desk.outbox.toArray()).map((row) => row.state)).toEqual(["waiting"]);

  await enqueueLacking(sending);
  await sendAll(sending);

  expect(restored.kept.sort()).toEqual([
    "inspection j",
    "inspection k",
    "machine m",
    "observation another's",
    "observation lost",
    "observation new",
  ]);
  expect(await desk.outbox.count()).toBe(0);
  expect((await desk.revisions.toArray()).every((row) => row.position > 0)).toBe(true);
  expect((await desk.machines.get("m"))?.identification_number).toBe("VIN-1");
  expect((await desk.inspections.get("j"))?.header?.machine["label"]).toBe("Corrected");
  expect(await sendAll(sending)).toBeUndefined(); // the same log from now on
});

test("where this phone's word is not the newer one, it fills in and takes nothing away", async () => {
  await desk.machines.put({ ...MACHINE, label: "Old name", identification_number: "VIN-1" });
  const copy = { id: "c1", kind: "machine", body: { ...MACHINE, label: "New name" } };
  const sending: Sending = { desk, server: new Restored([copy]).server, owner: "7", device: "d" };
  await enqueueLacking(sending);
  expect((await desk.outbox.toArray()).map((row) => row.body)).toEqual([
    { ...MACHINE, label: "New name", identification_number: "VIN-1" },
  ]);
});

test("the queue waits for the person's word instead of trying for ever", async () => {
  const shown: QueueState[] = [];
  const queue = new Queue({
    send: () => Promise.reject(new OtherLog("It lacks what this phone has seen.")),
    show: (state) => shown.push(state),
    alone: async (work) => (await work(), true),
  });
  await queue.tryNow();
  expect(shown.at(-1)).toEqual({ phase: "other_log", why: "It lacks what this phone has seen." });
  queue.stop();
});
