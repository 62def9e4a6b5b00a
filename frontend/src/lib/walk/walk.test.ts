import { expect, test } from "vitest";
import type { Guide, GuideStep } from "../documents.ts";
import { stepNamed } from "./walk.ts";

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
