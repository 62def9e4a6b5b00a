import { readFileSync } from "node:fs";
import Dexie from "dexie";
import { afterEach, beforeEach, expect, test } from "vitest";
import { Desk } from "../db/database.ts";
import type { MachineRow } from "../db/rows.ts";
import { uuid7 } from "../ids.ts";
import { type Answer, takeIn } from "../sync/pull.ts";
import { keepMachine } from "./machine.ts";
import { changesIn, putOver, saidTogether } from "./specifications.ts";

interface Case {
  name: string;
  known: unknown[];
  coming: unknown[];
  then: unknown[];
}
// The file the server's merge is tested with too.
const CASES = JSON.parse(
  readFileSync(
    new URL("../../../../tests/machines/cases/specifications.json", import.meta.url),
    "utf8",
  ),
) as Case[];

test.each(CASES)("put over: $name", ({ known, coming, then }) => {
  expect(putOver(known, coming)).toEqual(then);
});

test.each(CASES)("what changed, put over what was, is what is: $name", ({ known, then }) => {
  expect(putOver(known, changesIn(known, then))).toEqual(then);
  expect(putOver(then, changesIn(then, known))).toEqual(expect.arrayContaining(known));
  expect(changesIn(then, then)).toEqual([]);
});

test.each(CASES)("said together is as said one after the other: $name", ({ known, coming }) => {
  const second = [
    { at: "front_left", shaft: { plating: null }, preload: "3 mm", springs: [{ wire: "9 mm" }] },
    { at: "rear_left", damper: "plain" },
  ];
  const both = putOver(known, saidTogether(coming, second));
  const [first, then] = [putOver(known, coming), putOver(putOver(known, coming), second)];
  expect([...both].sort(byPlace)).toEqual([...then].sort(byPlace));
  expect(first.length).toBeGreaterThan(0);
});
const byPlace = (a: Record<string, unknown>, b: Record<string, unknown>) =>
  String(a["at"]).localeCompare(String(b["at"]));

// ---- kept, sent and taken in ----
let desk: Desk;
beforeEach(() => void (desk = new Desk(uuid7())));
afterEach(async () => {
  desk.close();
  await Dexie.delete(desk.name);
});

const QUAD: MachineRow = {
  id: uuid7(),
  label: "Unit 7",
  kind: "quad",
  identification_number: "",
  assemblies: [{ at: "front_left", shaft: { diameter: "22.2 mm", plating: "30 um" } }],
};
const withShaft = (shaft: object): MachineRow => ({
  ...QUAD,
  assemblies: [{ at: "front_left", shaft }],
});
const waiting = async () => (await desk.outbox.orderBy("seq").toArray()).map((row) => row.body);
const assembliesNow = async () => (await desk.machines.get(QUAD.id))?.assemblies;

test("a figure taken back is said so, and stays said with the next change", async () => {
  await desk.machines.put(QUAD);
  const cleared = withShaft({ plating: "30 um" });
  await keepMachine(desk, "i", { before: QUAD, now: cleared });
  expect(await assembliesNow()).toEqual([{ at: "front_left", shaft: { plating: "30 um" } }]);
  await keepMachine(desk, "i", { before: cleared, now: { ...cleared, label: "Unit 8" } });
  expect(await waiting()).toEqual([
    {
      id: QUAD.id,
      label: "Unit 8",
      assemblies: [{ at: "front_left", shaft: { diameter: null } }],
    },
  ]);
});

test("what the server refused of a machine is said again with what puts it right", async () => {
  await desk.machines.put(QUAD);
  const thick = withShaft({ diameter: "24 mm", plating: "30 um" });
  await keepMachine(desk, "i", { before: QUAD, now: { ...thick, label: "x".repeat(200) } });
  const [row] = await desk.outbox.toArray();
  await desk.outbox.update(row!.seq!, { state: "refused", tried: 1 });
  await keepMachine(desk, "i", {
    before: { ...thick, label: "x".repeat(200) },
    now: { ...thick, label: "Unit 7" },
  });
  expect(await waiting()).toEqual([
    expect.objectContaining({
      label: "Unit 7",
      assemblies: [{ at: "front_left", shaft: { diameter: "24 mm" } }],
    }),
  ]);
});

test("another phone's figures come in under what is still to be said here, and the rest of them stays", async () => {
  await desk.machines.put(QUAD);
  await keepMachine(desk, "i", {
    before: QUAD,
    now: withShaft({ diameter: "24 mm", plating: "30 um" }),
  });
  const theirs = { diameter: "23 mm", bump_travel: "110 mm" };
  await takeIn(desk, answer({ shaft: theirs }, 5), []);
  const shaft = { plating: "30 um", bump_travel: "110 mm", diameter: "24 mm" };
  expect(await assembliesNow()).toEqual([{ at: "front_left", shaft }]);
});

test("of two that crossed, the one the server put later counts here too", async () => {
  for (const [position, diameter] of [
    [6, "24 mm"],
    [4, "23 mm"],
  ] as const) {
    await desk.machines.put(QUAD);
    await keepMachine(desk, "i", {
      before: QUAD,
      now: withShaft({ diameter: "24 mm", plating: "30 um" }),
    });
    const batch = await desk.outbox.toArray();
    const results = [{ id: batch[0]!.id, outcome: "accepted" as const, why: null, position }];
    await takeIn(desk, { ...answer({ shaft: { diameter: "23 mm" } }, 5), results }, batch);
    expect(await assembliesNow()).toEqual([
      { at: "front_left", shaft: { diameter, plating: "30 um" } },
    ]);
    expect(await desk.outbox.count()).toBe(0);
  }
});

function answer(fields: object, position: number): Answer {
  const body = { id: QUAD.id, kind: "quad", assemblies: [{ at: "front_left", ...fields }] };
  return {
    results: [],
    changes: [{ position, id: uuid7(), kind: "machine", body, by: "R." }],
    cursor: position,
    more: false,
  };
}
