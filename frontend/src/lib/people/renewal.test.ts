// @vitest-environment jsdom
import Dexie from "dexie";
import { beforeEach, expect, test } from "vitest";
import { NoConnection, Server, SignedOut } from "../api/call.ts";
import type { Desk } from "../db/database.ts";
import { enqueue } from "../db/outbox.ts";
import { sendAll } from "../sync/send.ts";
import { becomeOwner, openDesk, shutPrivateDesks, throwAway } from "./owner.ts";
import { comeBack, ensureSecret, keepSecret, secretOn } from "./renewal.ts";

const json = (body: unknown, status = 200) =>
  new Response(JSON.stringify(body), { status, headers: { "Content-Type": "application/json" } });
const refusal = (status: number, code: string) => json({ code, detail: code, fields: {} }, status);

/** Sessions as the server keeps them: one cookie, secrets that lead to a person. */
class FakeServer {
  cookie: string | null = null;
  secrets = new Map<string, string>();
  private = new Set<string>();
  sent: [string, unknown][] = [];
  asked: string[] = [];
  #made = 0;
  #given = 0;
  /** The answer to a renewal does not arrive. */
  loses = false;
  /** What somebody does between two calls. */
  between: (path: string) => void = () => undefined;
  readonly server = new Server((path, init) => {
    this.between(path);
    this.asked.push(`${init.method ?? "GET"} ${path}`);
    const answer = this.#answer(path, init);
    const lost = this.loses && path === "/api/session/private";
    return lost ? Promise.reject(new TypeError("the network")) : Promise.resolve(answer);
  });

  #answer(path: string, init: RequestInit): Response {
    const body = init.body ? (JSON.parse(String(init.body)) as Record<string, unknown>) : {};
    if (path === "/api/session") return this.#session();
    if (path === "/api/session/private") return this.#privately(body["secret"]);
    if (this.cookie === null) return refusal(401, "signed_out");
    if (new Headers(init.headers).get("X-Person") !== this.cookie)
      return refusal(401, "other_person");
    const changes = body["changes"] as { id: string; body: unknown }[];
    for (const change of changes) this.sent.push([this.cookie, change.body]);
    const results = changes.map(({ id }) => ({ id, outcome: "accepted", why: null }));
    return json({ results, changes: [], cursor: 1, more: false });
  }
  #session(secret: string | null = null): Response {
    const id = this.cookie;
    const person = id && { id, name: "You", private: this.private.has(id) };
    return json({ person, organisation: null, csrf: "t", secret });
  }
  #privately(secret: unknown): Response {
    if (this.cookie !== null && !this.private.has(this.cookie)) return this.#session();
    if (typeof secret === "string") {
      const known = this.secrets.get(secret);
      if (known === undefined) return refusal(401, "unknown_secret");
      this.cookie = known;
      for (const older of this.secrets.keys()) {
        if (older === secret) break;
        this.secrets.delete(older);
      }
    }
    this.cookie ??= `private-${++this.#made}`;
    this.private.add(this.cookie);
    const made = `secret-${++this.#given}`;
    this.secrets.set(made, this.cookie);
    return this.#session(made);
  }
}

let fake: FakeServer;
let desk: Desk;
const OWNER = { id: "private-1", name: "You", silent: true } as const;
beforeEach(async () => {
  localStorage.clear();
  for (const name of await Dexie.getDatabaseNames()) await Dexie.delete(name);
  fake = new FakeServer();
  desk = openDesk();
  const session = await fake.server.signInPrivately();
  await becomeOwner(OWNER, desk);
  await keepSecret(desk, session);
  fake.server.comeBack = () => comeBack(desk, fake.server, OWNER.id);
  fake.asked.length = 0;
});
const put = (n: number) =>
  enqueue(desk, { kind: "machine", inspection: null, subject: `machine:${n}`, body: { n } });
const send = () => sendAll({ desk, server: fake.server, owner: OWNER.id, device: "phone" });

test("a session that is gone is begun again, and the work reaches the same person", async () => {
  await put(1);
  fake.cookie = null;
  await send();
  expect(fake.sent).toEqual([[OWNER.id, { n: 1 }]]);
  expect(await desk.outbox.count()).toBe(0);
});

test("a session that ends between two calls too, and each change goes once", async () => {
  await put(1);
  let ended = false;
  fake.between = (path) => {
    if (path === "/api/sync" && !ended) [ended, fake.cookie] = [true, null];
  };
  await send();
  expect(fake.sent).toEqual([[OWNER.id, { n: 1 }]]);
});

test("each time with the secret given the last time, also where an answer was lost", async () => {
  for (const n of [1, 2, 3]) {
    await put(n);
    fake.cookie = null;
    fake.loses = n === 2;
    await send().catch((error: unknown) => expect(error).toBeInstanceOf(NoConnection));
  }
  expect(fake.sent.map(([who]) => who)).toEqual([OWNER.id, OWNER.id, OWNER.id]);
  expect((await secretOn(desk))?.secret).toBe("secret-4");
});

test("two tabs that come back at once do not shut each other out", async () => {
  fake.cookie = null;
  const tab = () => comeBack(desk, fake.server, OWNER.id);
  expect(await Promise.all([tab(), tab()])).toEqual([true, true]);
  await put(1);
  fake.cookie = null;
  await send();
  expect(fake.sent).toEqual([[OWNER.id, { n: 1 }]]);
});

test("a server that knows the secret no more gets nothing, and no fresh session is begun", async () => {
  await put(1);
  fake.cookie = null;
  fake.secrets.clear();
  const fault: unknown = await send().catch((error: unknown) => error);
  expect(fault).toBeInstanceOf(SignedOut);
  expect((fault as SignedOut).code).toBe("unknown_secret");
  expect([fake.cookie, fake.sent, await desk.outbox.count()]).toEqual([null, [], 1]);
});

test("a fresh private session, begun for a grade, gives way: it is not sent the work", async () => {
  await put(1);
  fake.cookie = null;
  await fake.server.signInPrivately();
  expect(fake.cookie).toBe("private-2");
  await send();
  expect(fake.sent).toEqual([[OWNER.id, { n: 1 }]]);
});

test.each(["before", "between"])(
  "who signs in by name %s is never sent the private person's work, nor signed out by it",
  async (when) => {
    await put(1);
    if (when === "before") fake.cookie = "7";
    else fake.between = (path) => path === "/api/sync" && (fake.cookie = "7");
    await expect(send()).rejects.toMatchObject({ code: "other_person" });
    expect([fake.cookie, fake.sent, await desk.outbox.count()]).toEqual(["7", [], 1]);
    expect(fake.asked).not.toContain("POST /api/session/private");
  },
);

test("a desk lets nobody in but its own person", async () => {
  fake.cookie = null;
  expect(await comeBack(desk, fake.server, "8")).toBe(false);
  expect(fake.asked).toEqual(["GET /api/session"]);
});

test("a phone that came to the session without a secret asks for one of its own, once", async () => {
  await desk.meta.clear();
  await ensureSecret(desk, fake.server, OWNER.id);
  await ensureSecret(desk, fake.server, OWNER.id);
  expect(await secretOn(desk)).toEqual({ person: OWNER.id, secret: "secret-2" });
  expect(fake.asked.filter((one) => one === "POST /api/session/private")).toHaveLength(1);
});

const NAMED = { id: "7", name: "R. Okafor" };
async function someInspection(): Promise<void> {
  await desk.inspections.put({
    id: "i",
    machine: null,
    header: { format: "suspension-record/1" } as never,
    setup: {} as never,
    began_at: "",
    changed_at: "",
    closed_at: null,
  });
}

test("what was done without a sign-in is shut, not deleted, when somebody signs in", async () => {
  await someInspection();
  await desk.meta.clear(); // also where no secret ever came
  const own = await becomeOwner(NAMED, desk);
  expect(await own.inspections.count()).toBe(0);
  expect(await secretOn(own)).toBeNull();
  expect(await shutPrivateDesks()).toEqual([{ owner: OWNER, inspections: 1, waiting: 0 }]);
});

test("and can be thrown away whole", async () => {
  await someInspection();
  await becomeOwner(NAMED, desk);
  await throwAway(OWNER.id);
  expect(await shutPrivateDesks()).toEqual([]);
  expect(await Dexie.exists(desk.name)).toBe(false);
});
