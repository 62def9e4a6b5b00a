// @vitest-environment jsdom
import Dexie from "dexie";
import { beforeEach, expect, test } from "vitest";
import { NoConnection, Server } from "../api/call.ts";
import { enqueue } from "../db/outbox.ts";
import { settleSignOut, signOutHere } from "./leaving.ts";
import { becomeOwner, currentOwner, hasDesk, openDesk } from "./owner.ts";

const OKAFOR = { id: "7", name: "R. Okafor" };
const asked: string[] = [];
let signal = false;
const server = new Server((path, init) => {
  asked.push(`${init.method ?? "GET"} ${path}`);
  if (!signal) return Promise.reject(new TypeError("Failed to fetch"));
  if (init.method === "DELETE") return Promise.resolve(new Response(null, { status: 204 }));
  const session = { person: OKAFOR, organisation: null, csrf: "t" };
  return Promise.resolve(
    new Response(JSON.stringify(session), { headers: { "Content-Type": "application/json" } }),
  );
});

beforeEach(async () => {
  asked.length = 0;
  signal = false;
  localStorage.clear();
  for (const name of await Dexie.getDatabaseNames()) await Dexie.delete(name);
});

test.each([true, false])(
  "without a signal the desk is shut at once (unsent kept: %s)",
  async (keep) => {
    const desk = await becomeOwner(OKAFOR, openDesk());
    await enqueue(desk, {
      kind: "machine",
      inspection: null,
      subject: "machine:1",
      body: { n: 1 },
    });
    const empty = await signOutHere(desk, server, keep);
    expect([currentOwner(), await empty.outbox.count(), hasDesk("7")]).toEqual([null, 0, keep]);
    expect(await Dexie.exists(desk.name)).toBe(keep);
  },
);

test("the server is told as soon as it can be, once, before anything else is asked", async () => {
  await signOutHere(await becomeOwner(OKAFOR, openDesk()), server, false);
  await expect(settleSignOut(server)).rejects.toThrow(NoConnection);
  signal = true;
  await settleSignOut(server);
  expect(asked.at(-1)).toBe("DELETE /api/session");
  asked.length = 0;
  await settleSignOut(server);
  expect(asked).toEqual([]);
});
