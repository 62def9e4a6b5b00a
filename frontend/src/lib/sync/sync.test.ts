import Dexie from "dexie";
import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { NoConnection, Server, SignedOut } from "../api/call.ts";
import { Desk } from "../db/database.ts";
import { enqueue, enqueueBytes } from "../db/outbox.ts";
import { uuid7 } from "../ids.ts";
import { currentByStep } from "../record/current.ts";
import { issuedOf } from "../record/issuedReport.ts";
import { sha256Hex } from "../photos/sha256.ts";
import { Queue, type QueueState } from "./queue.ts";
import { MOST_CHANGES, sendAll } from "./send.ts";

interface Sent {
  id: string;
  kind: string;
  body: Record<string, unknown>;
}
type Reply = (sent: Sent[]) => Response | Promise<Response>;

const json = (body: unknown, status = 200) =>
  new Response(JSON.stringify(body), { status, headers: { "Content-Type": "application/json" } });
const refusal = (status: number, code: string, detail: string) =>
  json({ code, detail, fields: {} }, status);
const portal = () =>
  new Response("<html>Welcome to the trailhead</html>", {
    status: 200,
    headers: { "Content-Type": "text/html" },
  });

/** A server that keeps what it accepted, with replies that can be put in its place. */
class FakeServer {
  person: string | null = "7";
  kept = new Map<string, string>();
  photos: string[] = [];
  tooLarge = new Map<string, Response>();
  batches: Sent[][] = [];
  replies: Reply[] = [];
  log: unknown[] = [];
  readonly server = new Server(async (path, init) => this.answer(path, init));

  async answer(path: string, init: RequestInit): Promise<Response> {
    if (path === "/api/session")
      return json({
        person: this.person && { id: this.person, name: "Okafor" },
        organisation: null,
        csrf: "t",
      });
    if (this.person === null) return refusal(401, "signed_out", "Sign in first.");
    if (path.startsWith("/api/photos/")) {
      const sha256 = path.split("/").at(-1)!;
      const refused = this.tooLarge.get(sha256);
      if (refused) return refused;
      this.photos.push(sha256);
      return json({ sha256, kept: true, width: 1, height: 1 });
    }
    const { changes } = JSON.parse(String(init.body)) as { changes: Sent[] };
    this.batches.push(changes);
    return (this.replies.shift() ?? ((sent) => this.take(sent)))(changes);
  }
  take(sent: Sent[], refused: string[] = []): Response {
    const results = sent.map(({ id, body }) => {
      const text = JSON.stringify(body);
      if (refused.includes(id)) return { id, outcome: "refused", why: "Not a machine of yours." };
      const before = this.kept.get(id);
      if (before !== undefined)
        return {
          id,
          outcome: before === text ? "already" : "refused",
          why: before === text ? null : "Same id, other body.",
        };
      this.kept.set(id, text);
      return { id, outcome: "accepted", why: null };
    });
    return json({ results, changes: this.log.splice(0), cursor: this.kept.size, more: false });
  }
}

let desk: Desk;
let fake: FakeServer;
beforeEach(() => {
  desk = new Desk(uuid7());
  fake = new FakeServer();
});
afterEach(async () => {
  desk.close();
  await Dexie.delete(desk.name);
});

const send = () => sendAll({ desk, server: fake.server, owner: "7", device: "phone" });
const put = (n: number) =>
  enqueue(desk, { kind: "observation", inspection: "i", subject: `revision:${n}`, body: { n } });
const waiting = async () =>
  (await desk.outbox.where("state").equals("waiting").toArray()).map((row) => row.body["n"]);

test("what is accepted leaves the queue, in the order it was written", async () => {
  for (const n of [1, 2, 3]) await put(n);
  await send();
  expect(fake.batches[0]?.map((one) => one.body["n"])).toEqual([1, 2, 3]);
  expect(await desk.outbox.count()).toBe(0);
});

test("a lost reply: the same change again, one row on the server", async () => {
  await put(1);
  fake.replies = [(sent) => (fake.take(sent), Promise.reject(new TypeError("Failed to fetch")))];
  await expect(send()).rejects.toThrow(NoConnection);
  expect(await waiting()).toEqual([1]);
  await send();
  expect(fake.kept.size).toBe(1);
  expect(await desk.outbox.count()).toBe(0);
});

test("an edit after a lost reply is a change of its own: the first body is not sent under a used id", async () => {
  await put(1);
  fake.replies = [(sent) => (fake.take(sent), Promise.reject(new TypeError("Failed to fetch")))];
  await expect(send()).rejects.toThrow(NoConnection);
  await enqueue(desk, {
    kind: "observation",
    inspection: "i",
    subject: "revision:1",
    body: { n: 11 },
  });
  await send();
  expect([...fake.kept.values()]).toEqual(['{"n":1}', '{"n":11}']);
});

test.each<[string, Reply]>([
  ["a login portal's page", portal],
  [
    "JSON without the ids asked about",
    () => json({ results: [], changes: [], cursor: 1, more: false }),
  ],
  ["JSON that is not ours", () => json({ status: "ok" })],
  [
    "a proxy's 502",
    () =>
      new Response("<h1>Bad gateway</h1>", {
        status: 502,
        headers: { "Content-Type": "text/html" },
      }),
  ],
  [
    "cut-off JSON",
    () => new Response('{"results": [', { headers: { "Content-Type": "application/json" } }),
  ],
  ["a server fault", () => refusal(500, "server_fault", "Something went wrong.")],
])("%s is no connection, and nothing leaves the queue", async (_what, reply) => {
  await put(1);
  fake.replies = [reply];
  await expect(send()).rejects.toThrow(NoConnection);
  expect(await waiting()).toEqual([1]);
});

test("a refused change is parked with its reason; the others go", async () => {
  await put(1);
  const bad = await put(2);
  await put(3);
  fake.replies = [(sent) => fake.take(sent, [bad])];
  await send();
  const rows = await desk.outbox.toArray();
  expect(rows).toMatchObject([{ id: bad, state: "refused", why: "Not a machine of yours." }]);
  expect(fake.kept.size).toBe(2);
});

test("batches are bounded", async () => {
  for (let n = 0; n < MOST_CHANGES + 5; n++) await put(n);
  await send();
  expect(fake.batches.map((batch) => batch.length)).toEqual([MOST_CHANGES, 5, 0]);
});

test("too large a batch is halved, down to the one at fault, which is parked", async () => {
  for (let n = 0; n < 8; n++) await put(n);
  const limit = (sent: Sent[]): Response =>
    sent.some((one) => one.body["n"] === 5)
      ? new Response("<h1>413</h1>", { status: 413 })
      : fake.take(sent);
  fake.replies = Array.from({ length: 20 }, () => limit);
  await send();
  expect(fake.kept.size).toBe(7);
  expect(await desk.outbox.toArray()).toMatchObject([{ body: { n: 5 }, state: "refused" }]);
});

test("an ended session pauses, and nothing is lost", async () => {
  await put(1);
  fake.person = null;
  await expect(send()).rejects.toThrow(SignedOut);
  expect([await waiting(), fake.batches.length]).toEqual([[1], 0]);
});

test("another person's sign-in never sends this one's queue", async () => {
  await put(1);
  fake.person = "8";
  await expect(send()).rejects.toThrow(SignedOut);
  expect([await waiting(), fake.batches.length]).toEqual([[1], 0]);
});

async function putPhoto(size: number): Promise<string> {
  const bytes = new Uint8Array(size).fill(size % 251).buffer;
  const sha256 = await sha256Hex(bytes);
  await desk.photos.put({
    id: uuid7(),
    inspection: "i",
    checkpoint: "oil",
    at: null,
    part: null,
    sha256,
    bytes,
    type: "image/jpeg",
    source: "camera",
    name: "",
    taken_at: "",
  });
  await enqueueBytes(desk, { sha256, inspection: "i", size });
  return sha256;
}

test.each([
  ["the server", refusal(413, "too_large", "At most 25 MB."), "At most 25 MB."],
  [
    "a proxy",
    new Response("<h1>413</h1>", { status: 413 }),
    "The server takes nothing this large.",
  ],
])("a photo that %s finds too large is parked with one sentence, the rest goes", async (...of) => {
  const [, answer, why] = of;
  const [small, middle, large] = [await putPhoto(10), await putPhoto(500), await putPhoto(3000)];
  fake.tooLarge.set(middle, answer);
  await send();
  expect(fake.photos).toEqual([small, large]);
  expect(await desk.outbox.toArray()).toMatchObject([
    { body: { sha256: middle }, state: "refused", why },
  ]);
  expect(await desk.photos.count()).toBe(3);
});

test("photos go after the records, the largest last", async () => {
  for (const size of [3000, 10, 500]) await putPhoto(size);
  await put(1);
  await send();
  const sizes = await Promise.all(
    fake.photos.map(
      async (sha256) =>
        (await desk.photos.where("sha256").equals(sha256).first())?.bytes.byteLength,
    ),
  );
  expect(sizes).toEqual([10, 500, 3000]);
  expect(await desk.outbox.count()).toBe(0);
});

test("what others sent is taken in, and the cursor kept", async () => {
  const id = uuid7();
  fake.log = [
    {
      position: 4,
      id,
      kind: "observation",
      by: "M. Sarkis",
      received_at: "",
      body: {
        id,
        inspection: "i",
        checkpoint: "oil",
        at: "front_left",
        part: null,
        replaces: [],
        recorded_at: "2026-05-14T10:00:00Z",
        observation: { checkpoint: "oil", at: "front_left", status: "checked", seen: "clear" },
      },
    },
  ];
  await put(1);
  await send();
  expect(await desk.revisions.get(id)).toMatchObject({
    position: 4,
    by: "M. Sarkis",
    observation: { seen: "clear" },
  });
  expect((await desk.meta.get("cursor"))?.value).toBe(1);
});

test("a report that another phone had issued is known here; an older revision takes none back", async () => {
  const report = (revision: number) => ({
    id: `r${revision}`,
    inspection: "i",
    number: "2026-00007",
    revision,
    sha256: "ab",
    pdf: `/api/reports/r${revision}.pdf`,
    issued_at: "2026-05-14T12:00:00Z",
    verify_code: "ABCD-EFGH-JKLM",
    check: "/check/ABCD-EFGH-JKLM",
    tells_verdict: false,
  });
  const told = (position: number, body: unknown) => {
    return { position, id: uuid7(), kind: "report", by: "M. Sarkis", received_at: "", body };
  };
  fake.log = [told(4, report(1)), told(5, report(2)), told(6, { inspection: "other" })];
  await send();
  expect(await issuedOf(desk, "i")).toMatchObject({ number: "2026-00007", revision: 2 });
  expect(await issuedOf(desk, "other")).toBeNull();
  fake.log = [told(7, report(1))];
  await send();
  expect(await issuedOf(desk, "i")).toMatchObject({ revision: 2 });
});

test("two answers for one check: each phone shows the same one first, and both are there", async () => {
  const place = { checkpoint: "oil", at: "front_left", part: null };
  const said = (seen: string) => ({
    checkpoint: place.checkpoint,
    at: place.at,
    status: "checked" as const,
    seen,
  });
  const body = (id: string, seen: string) => ({
    ...place,
    id,
    inspection: "i",
    replaces: [],
    recorded_at: "2026-05-14T10:00:00Z",
    observation: said(seen),
  });
  const [mine, theirs] = [uuid7(), uuid7()];
  await desk.revisions.put({
    ...body(mine, "clear"),
    position: 0,
    by: null,
    observation: said("clear"),
  });
  await enqueue(desk, {
    kind: "observation",
    inspection: "i",
    subject: `revision:${mine}`,
    body: body(mine, "clear"),
  });
  fake.replies = [
    (sent) =>
      json({
        results: sent.map(({ id }) => ({ id, outcome: "accepted", why: null, position: 4 })),
        changes: [
          { position: 5, id: theirs, kind: "observation", by: "Bo", body: body(theirs, "foamy") },
        ],
        cursor: 5,
        more: false,
      }),
  ];
  await send();
  const current = currentByStep(await desk.revisions.toArray()).get("oil@front_left");
  expect(current?.map((row) => [row.id, row.position])).toEqual([
    [theirs, 5],
    [mine, 4],
  ]);
});

describe("the queue", () => {
  const parts = (work: () => Promise<void>) => {
    const states: QueueState[] = [];
    return {
      states,
      send: vi.fn(work),
      show: (state: QueueState) => states.push(state),
      alone: async (run: () => Promise<void>) => (await run(), true),
      random: () => 1,
    };
  };

  test("two sends at once are one, then one more for what came meanwhile", async () => {
    let running = 0;
    let most = 0;
    const p = parts(async () => {
      most = Math.max(most, ++running);
      await Promise.resolve();
      running--;
    });
    const queue = new Queue(p);
    await Promise.all([queue.tryNow(), queue.tryNow(), queue.tryNow()]);
    expect([most, p.send.mock.calls.length]).toEqual([1, 2]);
  });

  test("pauses double from two seconds to five minutes and never pass it", async () => {
    const queue = new Queue(parts(() => Promise.reject(new NoConnection())));
    const pauses: number[] = [];
    for (let i = 0; i < 10; i++) {
      await queue.tryNow();
      pauses.push(queue.pause_ms() / 1000);
    }
    queue.stop();
    expect(pauses).toEqual([2, 4, 8, 16, 32, 64, 128, 256, 300, 300]);
  });

  test("an ended session is asked about once; nudges wait, the sign-in goes on", async () => {
    let signedIn = false;
    const p = parts(() =>
      signedIn ? Promise.resolve() : Promise.reject(new SignedOut("The sign-in has ended.")),
    );
    const queue = new Queue(p);
    await queue.tryNow();
    queue.nudge();
    queue.nudge();
    expect(p.send).toHaveBeenCalledTimes(1);
    signedIn = true;
    await queue.tryNow();
    expect(p.states.at(-1)).toEqual({ phase: "idle" });
  });

  test("another tab at work: this one sends nothing", async () => {
    const p = { ...parts(() => Promise.resolve()), alone: () => Promise.resolve(false) };
    await new Queue(p).tryNow();
    expect(p.send).not.toHaveBeenCalled();
  });
});
