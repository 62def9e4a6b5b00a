import Dexie from "dexie";
import { afterEach, beforeEach, expect, test } from "vitest";
import { Desk } from "../db/database.ts";
import type { Header, MachineRow } from "../db/rows.ts";
import { uuid7 } from "../ids.ts";
import { takeIn } from "../sync/pull.ts";
import { beginInspection, keepSetup } from "./keep.ts";
import { mergeChanges } from "./merge.ts";
import { setupForMachine } from "./setup.ts";

const HABITS = {
  units: "metric" as const,
  name: "M. Sarkis",
  role: "yard",
  purpose: "coming_back",
};
const TODAY = new Date(2026, 4, 14);
const MACHINE: MachineRow = {
  id: uuid7(),
  label: "Unit 7",
  kind: "quad",
  identification_number: "AB123",
  assemblies: [
    {
      at: "front_left",
      damper: "coilover",
      springs: [{ wire: { value: "11.5", unit: "mm", u: "0.05" } }],
      shaft: { diameter: "22.2 mm" },
    },
    { at: "rear_left", damper: "coilover", gas: { pressure: "14 bar", temperature: "20 degC" } },
  ],
};
const HEADER = {
  format: "suspension-record/1",
  inspected_on: "2026-05-14",
  purpose: "intake",
  inspector: { name: "R. Okafor", role: "shop", certificate: "A 12" },
  stops: ["on_wheels"],
  conditions: { ground: "level", temperature: "21 degC" },
  machine: {
    kind: "quad",
    label: "Unit 7",
    engine_hours: "410",
    distance: { value: "4250", unit: "km", u: "5" },
    use: { style: "hard", load: "two up" },
  },
  statements: [{ by: "driver", text: "it wallows" }],
  assemblies: MACHINE.assemblies,
  notes: ["kept indoors"],
} as unknown as Header;

let desk: Desk;
beforeEach(() => void (desk = new Desk(uuid7())));
afterEach(async () => {
  desk.close();
  await Dexie.delete(desk.name);
});

const sent = async (kind: string) =>
  (await desk.outbox.toArray()).filter((row) => row.kind === kind).map((row) => row.body);
const receive = (kind: string, body: object) =>
  takeIn(
    desk,
    {
      results: [],
      changes: [
        { position: 1, id: uuid7(), kind, body: body as Record<string, unknown>, by: "R." },
      ],
      cursor: 1,
      more: false,
    },
    [],
  );

async function again(): Promise<string> {
  await desk.machines.put(MACHINE);
  const setup = setupForMachine(MACHINE, ["front_left"], TODAY, HABITS);
  return beginInspection(desk, setup, MACHINE.id);
}

test("a known machine looked at again: all known of it is in the header, none of it is sent back", async () => {
  const id = await again();
  const { setup } = (await desk.inspections.get(id))!;
  await keepSetup(desk, id, { ...setup, distance: "900" });
  const [body] = await sent("inspection");
  expect(body?.["machine"]).toBe(MACHINE.id);
  expect((body?.["header"] as Header).assemblies).toEqual(MACHINE.assemblies);
  expect((body?.["header"] as Header).machine).toMatchObject({
    label: "Unit 7",
    kind: "quad",
    identification_number: "AB123",
  });
  expect(await sent("machine")).toEqual([]);
  expect(await desk.machines.get(MACHINE.id)).toEqual(MACHINE);
});

test("one figure changed: it alone is sent, and what came from elsewhere meanwhile stays", async () => {
  const id = await again();
  const { setup } = (await desk.inspections.get(id))!;
  const rear = { ...(MACHINE.assemblies[1] as object), body: { wall: "2.5 mm" } };
  await receive("machine", {
    ...MACHINE,
    label: "Unit 7b",
    assemblies: [MACHINE.assemblies[0], rear],
  });
  const [front, back] = setup.layout;
  const typed = { text: "24", unit: "mm" };
  await keepSetup(desk, id, {
    ...setup,
    layout: [{ ...front!, figures: { ...front!.figures, "shaft.diameter": typed } }, back!],
  });
  const thick = { value: "24", unit: "mm" };
  expect(await sent("machine")).toEqual([
    {
      id: MACHINE.id,
      assemblies: [{ at: "front_left", shaft: { diameter: thick } }],
    },
  ]);
  expect(await desk.machines.get(MACHINE.id)).toEqual({
    ...MACHINE,
    label: "Unit 7b",
    assemblies: [{ ...(MACHINE.assemblies[0] as object), shaft: { diameter: thick } }, rear],
  });
});

test("a phone that knew less than this one takes nothing away", async () => {
  await desk.machines.put(MACHINE);
  await receive("machine", { ...MACHINE, assemblies: [{ at: "front_left", reservoir: true }] });
  expect((await desk.machines.get(MACHINE.id))?.assemblies).toEqual([
    { ...(MACHINE.assemblies[0] as object), reservoir: true },
    MACHINE.assemblies[1],
  ]);
});

test("set-up of an inspection from another phone: only what was touched changes", async () => {
  const id = uuid7();
  await receive("machine", MACHINE);
  await receive("inspection", {
    id,
    machine: MACHINE.id,
    header: HEADER,
    recorded_at: "2026-05-14",
  });
  const { setup } = (await desk.inspections.get(id))!;
  await keepSetup(desk, id, setup);
  expect(await sent("inspection")).toEqual([]);
  await keepSetup(desk, id, { ...setup, style: "easy", purpose: "periodic" });
  expect((await sent("inspection"))[0]?.["header"]).toEqual({
    ...HEADER,
    purpose: "periodic",
    machine: { ...HEADER.machine, use: { style: "easy", load: "two up" } },
  });
  expect(await sent("machine")).toEqual([]);
});

test("what was taken away is taken away; a new value leaves the old one's doubt behind", () => {
  const known = { a: { value: "1", unit: "mm", u: "0.1" }, b: 2, c: 3 };
  const base = { a: { value: "1", unit: "mm" }, b: 2 };
  expect(mergeChanges(base, { a: { value: "4", unit: "mm" } }, known)).toEqual({
    a: { value: "4", unit: "mm" },
    c: 3,
  });
});
