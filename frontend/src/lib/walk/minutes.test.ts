import { expect, test } from "vitest";
import type { Guide } from "../documents.ts";
import { minutesSpoken, walkMinutes } from "./minutes.ts";

test.each([
  [0.1, "a few seconds"],
  [0.5, "half a minute"],
  [0.75, "1 minute"],
  [1.4, "1 minute"],
  [6.6, "7 minutes"],
])("%d", (minutes, words) => expect(minutesSpoken(minutes)).toBe(words));

test("the short walk counts its own checks of the chosen stops", () => {
  const step = (stop: string, minutes: number, short_walk = true) => ({
    stop,
    minutes,
    short_walk,
  });
  const guide = {
    stops: [{ id: "corner" }, { id: "lifted" }],
    steps: [step("corner", 0.5), step("corner", 2, false)],
    other_steps: [step("lifted", 1)],
    hidden_stops: [],
    hidden_steps: [],
  } as unknown as Guide;
  expect(walkMinutes(guide, ["corner"])).toEqual({ full: 2.5, short: 0.5 });
  expect(walkMinutes(guide, ["corner", "lifted"])).toEqual({ full: 3.5, short: 1.5 });
});
