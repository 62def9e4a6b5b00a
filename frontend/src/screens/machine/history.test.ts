import { expect, test } from "vitest";
import type { Guide } from "../../lib/documents.ts";
import { layoutLines } from "./history.ts";

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
