import { expect, test } from "vitest";
import type { Guide } from "../../lib/documents.ts";
import { layoutLines, pairOf } from "./history.ts";

const machineOf = (assemblies: unknown[]) => ({
  id: "m",
  label: "Unit 7",
  kind: "quad",
  identification_number: "",
  assemblies,
});

test("the layout in one line an axle, with what is not known said", () => {
  const front = { damper: "coilover", springs: [{}, {}], reservoir: true };
  const machine = machineOf([
    { at: "front_left", ...front },
    { at: "front_right", ...front },
    { at: "rear_left", damper: "air", springs: [] },
    { at: "rear_right" },
  ]);
  const damper_kinds = [
    { id: "coilover", name: "Coil-over" },
    { id: "air", name: "Air spring" },
  ];
  const guide = { damper_kinds } as unknown as Guide;
  expect(layoutLines(machine, guide)).toEqual([
    "Front: Coil-over, 2 springs, reservoir",
    "Rear: Air spring, no spring; damper not known",
  ]);
  expect(layoutLines(machineOf([{ at: "rear", damper: "plain" }]), null)).toEqual(["Rear: plain"]);
});

const visits = (["periodic", "coming_back", "periodic", "going_out", "intake"] as const).map(
  (purpose, n) => ({ id: `${n}`, purpose }),
);
const ids = (pair: ReturnType<typeof pairOf<(typeof visits)[number]>>) =>
  pair && [pair.before.id, pair.now.id, pair.earlier.map(({ id }) => id).join("")];

test("the latest is compared with the one before it", () => {
  expect(ids(pairOf(visits, { now: null, before: null }))).toEqual(["1", "0", "1234"]);
  expect(pairOf(visits.slice(4), { now: null, before: null })).toBe(null);
});

test("an earlier rental can be looked at: what came back, with when it went out", () => {
  expect(ids(pairOf(visits, { now: "1", before: null }))).toEqual(["3", "1", "234"]);
  expect(ids(pairOf(visits, { now: "1", before: "2" }))).toEqual(["2", "1", "234"]);
});

test("what is not earlier than the later one is not taken", () => {
  expect(ids(pairOf(visits, { now: "2", before: "0" }))).toEqual(["3", "2", "34"]);
  expect(ids(pairOf(visits, { now: "4", before: null }))).toEqual(["1", "0", "1234"]);
});
