// @vitest-environment jsdom
import Dexie from "dexie";
import { beforeEach, expect, test } from "vitest";
import { enqueue } from "../db/outbox.ts";
import { becomeOwner, currentOwner, hasDesk, leave, openDesk } from "./owner.ts";

const OKAFOR = { id: "7", name: "R. Okafor" };
const SARKIS = { id: "8", name: "M. Sarkis" };
const machine = (id: string) => ({
  id,
  label: id,
  kind: "quad",
  identification_number: "",
  assemblies: [],
});
const change = (n: number) => ({
  kind: "machine" as const,
  inspection: null,
  subject: `machine:${n}`,
  body: { n },
});

beforeEach(async () => {
  localStorage.clear();
  for (const name of await Dexie.getDatabaseNames()) await Dexie.delete(name);
});

test("work begun before a sign-in becomes the person's where it stands", async () => {
  const desk = openDesk();
  await desk.machines.put(machine("a"));
  const own = await becomeOwner(OKAFOR, desk);
  expect(own).toBe(desk);
  expect(currentOwner()).toEqual(OKAFOR);
  expect(await openDesk().machines.count()).toBe(1);
});

test("nothing of one person can be read after another signs in", async () => {
  const first = await becomeOwner(OKAFOR, openDesk());
  await first.machines.put(machine("a"));
  const second = await becomeOwner(SARKIS, first);
  expect(await second.machines.count()).toBe(0);
  expect(await Dexie.exists(first.name)).toBe(false); // all was sent
});

test("unsent work stays shut until its own person comes back", async () => {
  const first = await becomeOwner(OKAFOR, openDesk());
  await enqueue(first, change(1));
  const second = await becomeOwner(SARKIS, first);
  expect(await second.outbox.count()).toBe(0);
  const back = await becomeOwner(OKAFOR, second);
  expect((await back.outbox.toArray()).map((row) => row.body)).toEqual([{ n: 1 }]);
});

test("signing out deletes what was sent, and what is thrown away", async () => {
  const desk = await becomeOwner(OKAFOR, openDesk());
  await enqueue(desk, change(1));
  const empty = await leave(desk, false);
  expect([currentOwner(), hasDesk("7"), await empty.outbox.count()]).toEqual([null, false, 0]);
  expect(await Dexie.exists(desk.name)).toBe(false);
});

test("unowned work is poured onto the desk a person has here already, each change once", async () => {
  const desk = await becomeOwner(OKAFOR, openDesk());
  await enqueue(desk, change(1));
  const unowned = await leave(desk, true);
  await enqueue(unowned, change(2));
  await unowned.machines.put(machine("b"));
  const back = await becomeOwner(OKAFOR, unowned);
  expect((await back.outbox.toArray()).map((row) => row.body)).toEqual([{ n: 1 }, { n: 2 }]);
  expect(await back.machines.count()).toBe(1);
  expect(await Dexie.exists(unowned.name)).toBe(false);
});

test("what was remembered of one person is not in the next one's set-up", async () => {
  const remembered = () => ["inspect.name", "inspect.who"].map((key) => localStorage.getItem(key));
  const remember = () => {
    localStorage.setItem("inspect.name", "R. Okafor");
    localStorage.setItem("inspect.who", "yard");
  };
  remember();
  const desk = await becomeOwner(OKAFOR, openDesk());
  expect(remembered()).toEqual(["R. Okafor", "yard"]); // said before the sign-in, by the same person
  await becomeOwner(OKAFOR, desk);
  expect(remembered()).toEqual(["R. Okafor", "yard"]);
  const other = await becomeOwner(SARKIS, desk);
  expect(remembered()).toEqual([null, null]);
  remember();
  await leave(other, false);
  expect(remembered()).toEqual([null, null]);
});
