import { expect, test } from "vitest";
import type { AssemblyDraft } from "../db/rows.ts";
import type { Assembly } from "../documents.ts";
import { madeGuide } from "../guide/made.fixture.ts";
import { figureGroups, mayHaveCoils, whereToAdd } from "./figureFields.ts";
import {
  alike,
  assemblyOf,
  countFigures,
  draftOfAssembly,
  inScope,
  sayWord,
  typeFigure,
} from "./figures.ts";
import { headerOf } from "./record.ts";
import { emptySetup, layoutFor, setupOf } from "./setup.ts";

const corner = (at: string, part: Partial<AssemblyDraft> = {}): AssemblyDraft => ({
  at,
  damper: "coilover",
  springs: 2,
  reservoir: null,
  electronic: null,
  ...part,
});
const LAYOUT = ["front_left", "front_right", "rear_left", "rear_right"].map((at) => corner(at));
const GUIDE = madeGuide({ machine: { kind: "sport_side_by_side" } });
const offered = (some: AssemblyDraft[], wanted = "") =>
  figureGroups(GUIDE, some, wanted).flatMap((group) => group.fields.map(({ path }) => path));

test("nobody counts the springs inside a fork or on air, said or taken for granted", () => {
  const motorcycle = madeGuide({ machine: { kind: "motorcycle" } });
  const counted = (at: string, part: Partial<AssemblyDraft>) =>
    mayHaveCoils(motorcycle, "motorcycle", corner(at, { springs: null, ...part }));
  expect(counted("front", { damper: "telescopic_fork" })).toBe(false);
  expect(counted("front", { damper: null })).toBe(false); // usually a fork
  expect(counted("rear", { damper: null })).toBe(true);
  expect(counted("rear", { damper: "air" })).toBe(false);
  expect(counted("rear", { damper: "air", springs: 1 })).toBe(true);
});

test("a figure stands in the record where the engine looks for it, as typed and with its unit", () => {
  const draft = corner("front_left", {
    figures: {
      ride_height: { text: "16 1/4", unit: "in" },
      "shaft.diameter": { text: "22,2", unit: "mm" },
      "shaft.bump_travel": { text: "110", unit: "mm" },
      "springs[1].wire": { text: "11.5", unit: "mm" },
    },
    words: { bearing: "lined", "body.material": "steel_1020_dom" },
  });
  expect(assemblyOf(draft)).toEqual({
    at: "front_left",
    damper: "coilover",
    springs: [{}, { wire: { value: "11.5", unit: "mm" } }],
    ride_height: { value: "16 1/4", unit: "in" },
    shaft: {
      diameter: { value: "22,2", unit: "mm" },
      bump_travel: { value: "110", unit: "mm" },
    },
    body: { material: "steel_1020_dom" },
    bearing: "lined",
  });
});

test("what is empty, unreadable or of a spring that is not there is kept but not sent", () => {
  const draft = corner("front_left", {
    springs: 1,
    figures: {
      motion_ratio: { text: "1.2.3", unit: "1" },
      preload: { text: "  ", unit: "mm" },
      "springs[1].wire": { text: "11.5", unit: "mm" },
    },
    words: { bearing: "" },
  });
  expect(assemblyOf(draft)).toEqual({ at: "front_left", damper: "coilover", springs: [{}] });
  expect(draft.figures?.["motion_ratio"]?.text).toBe("1.2.3");
});

test("what is given for an axle goes to both sides; one corner may then differ", () => {
  const typed = { text: "0.62", unit: "1" };
  const both = typeFigure(LAYOUT, "front", "motion_ratio", typed);
  const one = typeFigure(both, "front_right", "motion_ratio", { text: "0.60", unit: "1" });
  const ratios = one.map((assembly) => assembly.figures?.["motion_ratio"]?.text);
  expect(ratios).toEqual(["0.62", "0.60", undefined, undefined]);
  const front = inScope(one, "front");
  expect(alike(front, (a) => a.figures?.["motion_ratio"]?.text)).toEqual({
    value: undefined,
    differ: true,
  });
  expect(alike(inScope(both, "front"), (a) => a.figures?.["motion_ratio"]?.text)).toEqual({
    value: "0.62",
    differ: false,
  });
  expect(countFigures(sayWord(one, "rear", "bearing", "rubber"))).toBe(4);
});

test("a record from elsewhere keeps its doubts and its unknown fields until typed over", () => {
  const given: Assembly = {
    at: "front_left",
    damper: "coilover",
    axle: "front",
    installed_length: "12 in",
    ride_height: { value: 16, unit: "in", u: 0.1 },
    tyre: { size: "30x10-14", pressure: "14 psi" },
    motion_ratio: 0.62,
    springs: [{ wire: { low: "11", high: "12", unit: "mm" } }, {}],
  };
  const draft = draftOfAssembly(given);
  expect(assemblyOf(draft)).toEqual(given);
  expect(draft.figures?.["ride_height"]).toMatchObject({ text: "16", unit: "in" });
  expect(draft.figures?.["springs[0].wire"]).toMatchObject({ text: "11 to 12", unit: "mm" });
  const [typedOver] = typeFigure([draft], "front", "ride_height", { text: "15", unit: "in" });
  expect(assemblyOf(typedOver!)["ride_height"]).toEqual({ value: "15", unit: "in" });
});

test("a header read back and written again says the same", () => {
  const habits = { units: "us" as const, name: "", role: null, purpose: null };
  const setup = emptySetup(new Date(2026, 4, 14), habits);
  const layout = typeFigure(layoutFor(["front", "rear"]), "front", "shaft.diameter", {
    text: "7/8",
    unit: "in",
  });
  const header = headerOf({ ...setup, kind: "motorcycle", label: "Unit 7", layout })!;
  const rich = {
    ...header,
    machine: {
      ...header.machine,
      engine_hours: 310,
      use: {
        style: "hard",
        horizon: "1000 mi",
        since_service: { distance: { value: "1400", unit: "mi" }, heat_cycles: 60 },
      },
    },
  };
  expect(headerOf(setupOf(rich, undefined))).toEqual(rich);
});

test("only what the layout can use is offered, and what a finding asks for always", () => {
  expect(offered([corner("front_left", { springs: 1 })])).not.toContain("air.pressure");
  expect(offered([corner("front_left", { springs: 1 })])).not.toContain("crossover_gap");
  expect(offered([corner("front_left")])).toEqual(
    expect.arrayContaining(["crossover_gap", "springs[0].wire", "springs[1].rate", "preload"]),
  );
  const air = offered([corner("front_left", { damper: "air", springs: null })]);
  expect(air).toContain("air.pressure");
  expect(air.filter((path) => /preload|springs/.test(path))).toEqual([]);
  expect(offered([corner("front_left", { springs: null })], "springs[0].wire")).toContain(
    "springs[0].wire",
  );
});

test.each([
  ["shaft.bump_travel", null, { screen: "figures", path: "shaft.bump_travel" }],
  ["springs[].wire", "spring_2", { screen: "figures", path: "springs[1].wire" }],
  [
    "gas.pressure, shaft.diameter and the springs' rate",
    null,
    { screen: "figures", path: "gas.pressure" },
  ],
  [
    "coil_contact, with springs[] and static_compression",
    null,
    { screen: "figures", path: "springs[0].wire" },
  ],
  ["readings.pressure", null, { screen: "step" }],
  ["machine.use.style", null, { screen: "setup" }],
  ["conditions.anti_roll_bar", null, { screen: "conditions" }],
  ["a strip-down of the dampers", null, null],
])("a gap that needs %s leads where it can be filled", (needs, part, where) => {
  expect(whereToAdd(GUIDE, needs, part)).toEqual(where);
});
