import { expect, test } from "vitest";
import type { Guide, GuideStep } from "../documents.ts";
import type { RevisionRow } from "../db/rows.ts";
import { answeredAndGone, stepNamed } from "./walk.ts";

const step = (id: string, stop: string) => ({ id, stop, checkpoint: id }) as unknown as GuideStep;
const guide = {
  steps: [step("mounting@front_left", "corner")],
  other_steps: [step("bearing_play@front_left/lower", "lifted")],
} as unknown as Guide;

test("a check of a stop that was not chosen is that very check", () => {
  expect(stepNamed(guide, "bearing_play@front_left/lower")?.stop).toBe("lifted");
  expect(stepNamed(guide, "mounting@front_left")?.stop).toBe("corner");
});

test("a check this machine has not is never another one", () => {
  expect(stepNamed(guide, "bearing_play@rear_left/lower")).toBeUndefined();
});

test("an answer whose check is gone is told; one taken back is not", () => {
  const row = (observation: object | null) => [{ observation } as unknown as RevisionRow];
  const current = new Map([
    ["mounting@front_left", row({ seen: "fast" })],
    ["spring_condition@front_left", row({ seen: "sound" })],
    ["spring_condition@front_right", row(null)],
  ]);
  expect(answeredAndGone(guide, current).map(([id]) => id)).toEqual([
    "spring_condition@front_left",
  ]);
});
