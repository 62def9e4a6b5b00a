import { expect, test } from "vitest";
import type { Assessment, Guide, InspectionRecord } from "../lib/documents.ts";
import { deciding, partLooks, partsFor, stepStates } from "./partStates.ts";

const step = (checkpoint: string, part: string | null = null) => ({
  id: `${checkpoint}@front_left${part === null ? "" : `/${part}`}`,
  checkpoint,
  at: "front_left",
  part,
  stop: "corner",
  minutes: 1,
});
const guide = {
  steps: [
    step("shaft_surface"),
    step("shaft_seal"),
    step("bearing_play", "upper"),
    step("bearing_play", "lower"),
  ],
  reasons: [{ id: "no_safe_way_to_lift", text: "Nothing here to lift it safely" }],
} as unknown as Guide;
const record = {
  observations: [
    { checkpoint: "shaft_surface", at: "front_left", status: "checked", seen: "clean" },
    {
      checkpoint: "bearing_play",
      at: "front_left",
      part: "upper",
      status: "no_access",
      reason: "no_safe_way_to_lift",
    },
  ],
} as unknown as InspectionRecord;
const graded = (zone: string) =>
  ({
    findings: [
      {
        id: "shaft_surface@front_left",
        zone,
        not_determined: [{ what: "x", needs: "shaft.plating", in_words: "x: needs the plating" }],
      },
    ],
  }) as unknown as Assessment;

test("before there is a grade a checked part is seen, never sound or worn", () => {
  expect(stepStates(guide, record, null).map(({ state }) => state)).toEqual([
    "seen",
    "unseen",
    "no_access",
    "unseen",
  ]);
});

test("no access counts as not seen and says why in the guide's words", () => {
  expect(stepStates(guide, record, null)[2]?.why).toBe("Nothing here to lift it safely");
});

test("the engine's zone decides how a part is shown", () => {
  expect(stepStates(guide, record, graded("D"))[0]).toMatchObject({ state: "worn", zone: "D" });
  expect(stepStates(guide, record, graded("A"))[0]).toMatchObject({ state: "seen" });
  expect(stepStates(guide, record, graded("?"))[0]).toMatchObject({
    state: "not_determined",
    why: "x: needs the plating",
  });
});

test("of several checks of one part the worst zone is shown, then the least looked at", () => {
  const some = stepStates(guide, record, graded("C"));
  expect(deciding(some)?.zone).toBe("C");
  expect(deciding(some.slice(1))?.state).toBe("no_access");
});

const PARTS = [
  { part: "short_spring", checkpoints: ["coil_contact"] },
  { part: "long_spring", checkpoints: ["coil_contact"] },
  { part: "upper_bearing", checkpoints: ["bearing_play"] },
  { part: "lower_bearing", checkpoints: ["bearing_play"] },
];

test("springs are counted from the top, bearings named by their end", () => {
  expect(partsFor(PARTS, "coil_contact", "spring_2")).toEqual(["long_spring"]);
  expect(partsFor(PARTS, "coil_contact", "spring_3")).toEqual(["long_spring"]);
  expect(partsFor(PARTS, "bearing_play", "lower")).toEqual(["lower_bearing"]);
});

test("where the record names no part every part of that check is meant", () => {
  expect(partsFor(PARTS, "coil_contact", null)).toEqual(["short_spring", "long_spring"]);
  expect(partsFor(PARTS, "tyre_match", null)).toEqual([]);
});

test("a part that no check belongs to is neither seen nor unseen", () => {
  const looks = partLooks(PARTS, stepStates(guide, record, null));
  expect(looks.get("short_spring")?.className).toBe("part-none");
  expect(looks.get("upper_bearing")?.className).toBe("part-no_access");
});
