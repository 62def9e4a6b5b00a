// @vitest-environment jsdom
import Dexie from "dexie";
import { beforeEach, expect, test } from "vitest";
import { Desk } from "../db/database.ts";
import { clearedFrom, noteKept } from "./cleared.ts";
import { becomeOwner, leave, openDesk } from "./owner.ts";

const OKAFOR = { id: "7", name: "R. Okafor" };
const NOW = new Date("2026-05-14T10:00:00Z");

beforeEach(async () => {
  localStorage.clear();
  for (const name of await Dexie.getDatabaseNames()) await Dexie.delete(name);
});
async function deskWithWork(): Promise<Desk> {
  const desk = openDesk();
  const header = { format: "suspension-record/1", machine: { kind: "quad" } } as never;
  const times = { began_at: "", changed_at: "", closed_at: null };
  await desk.inspections.put({ id: "i", machine: null, header, setup: {} as never, ...times });
  return desk;
}
/** As some browsers do: the databases go, the rest of a page's storage may stay. */
async function clearDatabases(desk: Desk): Promise<Desk> {
  desk.close();
  for (const name of await Dexie.getDatabaseNames()) await Dexie.delete(name);
  return new Desk(desk.id);
}

// S01
test("a desk that a browser cleared says how much of it had not been sent, and when", async () => {
  const desk = await deskWithWork();
  await noteKept(desk, 3, NOW);
  expect(await clearedFrom(desk)).toBeNull();
  const empty = await clearDatabases(desk);
  expect(await clearedFrom(empty)).toEqual({ unsent: 3, at: NOW.toISOString() });
});

test("what was never used, or left on purpose, was not cleared", async () => {
  const unused = openDesk();
  await noteKept(unused, 0, NOW);
  expect(await clearedFrom(await clearDatabases(unused))).toBeNull();

  const desk = await becomeOwner(OKAFOR, await deskWithWork());
  await noteKept(desk, 3, NOW);
  await leave(desk, false);
  expect(await clearedFrom(new Desk(desk.id))).toBeNull();
});
