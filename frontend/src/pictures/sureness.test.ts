import { expect, test } from "vitest";
import type { Finding } from "../lib/documents.ts";
import { shares, surenessWords } from "./sureness.ts";

const LIMITS = { unit: "mm", A: 0.05, B: 0.15, C: 0.25, source: "judgement", small_is_bad: false };
const finding = (more: object) =>
  ({
    zone: "C",
    sureness: "likely",
    limits: LIMITS,
    doubt: null,
    probability_beyond: { A: 1, B: 0.9, C: 0.11 },
    ...more,
  }) as unknown as Finding;

test("the chances of the zones are the differences of the chances beyond each limit", () => {
  // 1 - 1 = 0 in A, 1 - 0.9 in B, 0.9 - 0.11 in C, 0.11 in D
  const found = shares(finding({}));
  expect(found.map(({ zone }) => zone)).toEqual(["B", "C", "D"]);
  expect(found.map(({ share }) => Math.round(share * 100))).toEqual([10, 79, 11]);
});

test("without a third limit nothing is D", () => {
  const found = shares(
    finding({ limits: { ...LIMITS, C: null }, probability_beyond: { A: 0.8, B: 0.3, C: 0 } }),
  );
  expect(found.map(({ zone, share }) => [zone, Math.round(share * 100)])).toEqual([
    ["A", 20],
    ["B", 50],
    ["C", 30],
  ]);
});

test("a reading near a limit says how many in 100 and what the rest could be", () => {
  expect(surenessWords(finding({}))).toEqual({
    lead: "Most likely C.",
    rest: "Of 100 that read like this about 79 are C; the rest are B or D.",
    figures: "",
  });
});

test("chances that are nearly even are told so, not as the likelier zone", () => {
  const even = { sureness: "could_be_either", probability_beyond: { A: 1, B: 0.52, C: 0 } };
  expect(surenessWords(finding(even))).toMatchObject({
    lead: "Could be either.",
    rest: "Of 100 that read like this about 52 are C; the rest are B.",
  });
  const byEye = { ...even, doubt: { value: 0.2, U: 0.1, unit: "mm", by_word: true } };
  expect(surenessWords(finding(byEye)).lead).toBe("Perhaps C.");
});

test("a guarded limit says that it is graded to be on the safe side", () => {
  const words = surenessWords(finding({ zone: "D" }));
  expect(words.lead).toBe("D, to be on the safe side.");
  expect(words.figures).toContain("about 11 are D");
});

test("the chances of an answer by eye are a tap away and never called a reading", () => {
  const words = surenessWords(
    finding({ doubt: { value: 0.2, U: 0.1, unit: "mm", by_word: true } }),
  );
  expect(words.rest).toBe("Could be B or D. By what was seen; no reading was taken.");
  expect(words.figures).toContain("look like this about 79");
});

test("where no zone could be given no zone is named", () => {
  expect(
    surenessWords(finding({ zone: "?", sureness: "not_determined", probability_beyond: null }))
      .lead,
  ).toBe("No zone could be given.");
});
