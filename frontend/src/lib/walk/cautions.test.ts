import { expect, test } from "vitest";
import { madeGuide } from "../guide/made.fixture.ts";
import { stepsOf } from "../guide/guides.ts";
import { emptySetup } from "../record/setup.ts";
import { cautionsBefore, cautionsWait, stopsWalked } from "./cautions.ts";

const guide = madeGuide({ machine: { kind: "sport_side_by_side" } });
const stops = ["on_wheels", "corner", "lifted", "moving"];
const all = stepsOf(guide, stops);
const short = all.filter((step) => step.short_walk);
const idsBefore = (some: readonly string[]) => cautionsBefore(guide, some).map(({ id }) => id);
const lifted = all.find((step) => step.stop === "lifted")!;
const setup = {
  ...emptySetup(new Date(), { units: "us", name: "", role: null, purpose: "purchase" }),
  stops,
};

test("a short kneeling walk has the cautions of its own postures only", () => {
  expect(stopsWalked(short)).toEqual(["corner"]);
  expect(idsBefore(stopsWalked(short))).toEqual([
    "loaded_spring",
    "pressurised_gas",
    "hot_parts",
    "pinch_point",
    "local_law",
  ]);
});

test("a full walk has all of them, the gravest first", () => {
  expect(stopsWalked(all)).toEqual(stops);
  expect(idsBefore(stopsWalked(all))[0]).toBe("lifted_machine");
  expect(idsBefore(stopsWalked(all))).toContain("road_test");
});

test("no check is met before the cautions of its stop were read", () => {
  const begun = { ...setup, cautions_read: true, cautions_read_of: ["corner"] };
  expect(cautionsWait(begun, lifted)).toBe(true);
  expect(cautionsWait({ ...begun, cautions_read_of: ["corner", "lifted"] }, lifted)).toBe(false);
  expect(short.some((step) => cautionsWait(begun, step))).toBe(false);
});

test("what an older version kept as read was read of every stop chosen", () => {
  expect(cautionsWait({ ...setup, cautions_read: true }, lifted)).toBe(false);
});

test("a check of a stop that was not chosen has its cautions on its own screen", () => {
  const begun = { ...setup, stops: ["corner"], cautions_read: true, cautions_read_of: ["corner"] };
  expect(cautionsWait(begun, lifted)).toBe(false);
});
