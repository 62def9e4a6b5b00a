import { expect, test } from "vitest";
import { OUR_JUDGEMENT, sourcesOf } from "./sources.ts";

test("each limit gets its own source, and ours is spelt out", () => {
  expect(
    sourcesOf(
      "A|B: our judgement. B|C: over 25 mm springs (common practice). C|D: over 2 in rejected (one state)",
    ),
  ).toEqual([
    { boundary: "A", whose: OUR_JUDGEMENT },
    { boundary: "B", whose: "over 25 mm springs (common practice)" },
    { boundary: "C", whose: "over 2 in rejected (one state)" },
  ]);
});

test("one source for all stays one, and a missing one is ours", () => {
  expect(sourcesOf("judgement")).toEqual([{ boundary: null, whose: OUR_JUDGEMENT }]);
  expect(sourcesOf("")).toEqual([{ boundary: null, whose: OUR_JUDGEMENT }]);
});

test("judgement inside a longer sentence is said to be ours", () => {
  expect(sourcesOf("car body 0.2 to 0.3; boundaries judgement")[0]?.whose).toBe(
    "car body 0.2 to 0.3; boundaries our judgement",
  );
});
