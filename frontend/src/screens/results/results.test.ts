import { expect, test } from "vitest";
import type {
  Assessment,
  Finding,
  Guide,
  GuideStep,
  InspectionRecord,
} from "../../lib/documents.ts";
import type { IssuedReport } from "../../lib/record/issuedReport.ts";
import type { StepState } from "../../pictures/partStates.ts";
import { type Answer, answersOf, sawWords } from "./answers.ts";
import { gapsOf } from "./gaps.ts";
import { heightParts, turnsWords } from "./heightParts.ts";
import { bestNext } from "./bestNext.ts";
import { byStop, nearestFirst } from "./nearestFirst.ts";
import { inchesBeside, measuredInInches } from "./inches.ts";
import { interest, measurandWords, notMadeWords, unitOf, verdictWords } from "./outcomeWords.ts";
import { fileName } from "./report.ts";
import { waitsWords } from "./stale.ts";

const unchecked = (id: string) => ({ id }) as Assessment["unchecked"][number];

const state = (id: string, stop: string, at: string | null) =>
  ({ step: { id, stop, at }, state: "unseen" }) as unknown as StepState;

test("what is open is listed from where one stands: this place, this stop, the stops ahead, those behind", () => {
  const open = [
    state("wheels", "on_wheels", "front_left"),
    state("corner_fl", "corner", "front_left"),
    state("corner_rr", "corner", "rear_right"),
    state("lifted", "lifted", "rear_right"),
  ];
  const here = { stop: "corner", at: "rear_right" } as GuideStep;
  expect(nearestFirst(open, here).map(({ step }) => step.id)).toEqual([
    "corner_rr",
    "corner_fl",
    "lifted",
    "wheels",
  ]);
  expect(nearestFirst(open, null).map(({ step }) => step.id)).toEqual([
    "wheels",
    "corner_fl",
    "corner_rr",
    "lifted",
  ]);
  expect(byStop(open).map(({ stop, states }) => [stop, states.length])).toEqual([
    ["on_wheels", 1],
    ["corner", 2],
    ["lifted", 1],
  ]);
});

test("parts of a lost height: a span keeps its ends, what was not determined is not drawn as nothing", () => {
  const finding = {
    quantities: {
      loss_from_set_mm: { low: 18.7, high: 30.4 },
      loss_from_rate_mm: 0,
      loss_from_gas_mm: 4,
    },
    not_resolved: ["loss_from_gas_mm"],
    not_determined: [{ what: "loss_from_rate_mm", needs: "springs" }],
  } as unknown as Finding;
  expect(
    heightParts(finding).map(({ name, low, high, resolved }) => [name, low, high, resolved]),
  ).toEqual([
    ["Spring settled for good", 18.7, 30.4, true],
    ["Less gas", 4, 4, false],
  ]);
});

test("what several marks want alike is asked for once, two wants of one figure are both kept", () => {
  const gap = (what: string, needs: string) => ({ what, needs, in_words: `${what}: ${needs}` });
  const finding = {
    not_determined: [
      gap("depth_mm", "marks[].depth or marks[].feel"),
      gap("reaches_seal", "marks[].from_seal"),
      gap("depth_mm", "marks[].depth or marks[].feel"),
      gap("reaches_seal", "shaft.bump_travel"),
    ],
  };
  expect(gapsOf(finding).map(({ what, needs }) => [what, needs])).toEqual([
    ["depth_mm", "marks[].depth or marks[].feel"],
    ["reaches_seal", "marks[].from_seal"],
    ["reaches_seal", "shaft.bump_travel"],
  ]);
});

test("turns of preload are a span where the set is one, and never said of gas", () => {
  expect(
    turnsWords({ preload_turns_to_restore: { low: 11, high: 17 }, preload_turns_free: 10 }),
  ).toBe(
    "11 to 17 turns of preload make up for set and weaker spring together; 10 are left on the thread. Gas needs its own work.",
  );
  expect(turnsWords({})).toBeNull();
});

const guide = {
  steps: [
    {
      id: "shaft_seal@front_left",
      checkpoint: "shaft_seal",
      at: "front_left",
      part: null,
      stop: "corner",
      title: "The seal",
      place: "front left",
    },
    {
      id: "bearing_play@front_left/lower",
      checkpoint: "bearing_play",
      at: "front_left",
      part: "lower",
      stop: "lifted",
      title: "Play",
      place: "front left",
    },
  ],
  checkpoints: {
    shaft_seal: { words: [{ word: "oil_run", text: "Oil has run down the body" }], readings: [] },
    bearing_play: { words: [], readings: [{ key: "play", name: "Play" }] },
  },
  reasons: [{ id: "too_hot", text: "Too hot to touch" }],
} as unknown as Guide;

test("answers are shown in the words that were tapped and the figures that were typed", () => {
  const record = {
    observations: [
      { checkpoint: "shaft_seal", at: "front_left", status: "checked", seen: "oil_run" },
      {
        checkpoint: "bearing_play",
        at: "front_left",
        part: "lower",
        status: "checked",
        readings: { play: { low: "0,3", high: "0,9", unit: "mm" } },
      },
    ],
  } as unknown as InspectionRecord;
  expect(answersOf(record, guide).map(({ words, reached }) => [words, reached])).toEqual([
    ["“Oil has run down the body”", true],
    ["Play 0,3 to 0,9 mm", true],
  ]);
});

test("what could not be reached is said with its reason and never as an answer", () => {
  const record = {
    observations: [
      { checkpoint: "shaft_seal", at: "front_left", status: "no_access", reason: "too_hot" },
    ],
  } as unknown as InspectionRecord;
  expect(answersOf(record, guide)).toMatchObject([
    { words: "Could not get to it: Too hot to touch", reached: false },
  ]);
});

test("what could not be reached is not counted as seen", () => {
  const answers = (["checked", "no_access", "checked", "not_fitted"] as const).map(
    (status) => ({ status }) as Answer,
  );
  expect(sawWords(answers, 42)).toEqual({
    saw: "What you saw: 2 of 42",
    rest: "1 could not be reached, 1 not fitted.",
  });
  expect(sawWords([], 42).rest).toBe("");
});

test("looked at without a zone is not the same as not made", () => {
  const rows = (reason_text: string, count: number) =>
    Array.from({ length: count }, () => ({ reason_text }));
  expect(
    notMadeWords([...rows("Not looked at", 20), ...rows("Looked at, not determined", 15)]),
  ).toBe("20 checks not made, 15 looked at without a zone");
  expect(notMadeWords([])).toBe("");
});

test("inches stand beside millimetres, with no more figures than those, for who measured in inches", () => {
  expect([51, 0.2, 365.125, 0.3].map((mm) => inchesBeside(mm).replaceAll("\u00a0", " "))).toEqual([
    " (2.0 in)",
    " (0.0079 in)",
    " (14.4 in)",
    " (0.012 in)",
  ]);
  const record = (height: unknown) =>
    ({ observations: [{ readings: { height } }] }) as unknown as InspectionRecord;
  expect(
    [{ value: "14 3/8", unit: "in" }, "14.5 in", { value: "366", unit: "mm" }, "366 mm"].map(
      (one) => measuredInInches(record(one)),
    ),
  ).toEqual([true, true, false, false]);
});

test("names of quantities lose their unit, which is printed with the number", () => {
  expect(
    ["play_mm", "runout_mm_per_m", "stress_ratio", "spring_rate_new_n_per_mm"].map((q) => [
      measurandWords(q),
      unitOf(q),
    ]),
  ).toEqual([
    ["Play", "mm"],
    ["Runout", "mm/m"],
    ["Stress ratio", ""],
    ["Spring rate new", "N/mm"],
  ]);
});

test("who looked is printed with what they stand to gain, even where nobody said", () => {
  const record = (inspector: object | undefined) => ({ inspector }) as unknown as InspectionRecord;
  expect(interest(record({ name: "R. Okafor", role: "buyer" }))).toBe(
    "Looked at by R. Okafor: the buyer, who gains from a lower price.",
  );
  expect(interest(record(undefined))).toBe(
    "Looked at by someone who gave no name. As what was not said: buyer, seller or shop.",
  );
});

test("a verdict is named in its words, whether the engine gives code or words", () => {
  expect([verdictWords("park_it"), verdictWords("Park it")]).toEqual(["Park it", "Park it"]);
});

test("an old grade says what the new one waits for, and no signal only where there is none", () => {
  expect(waitsWords({ why: "no_signal", since: "14:22" })).toBe(
    "The new one waits for a signal, since 14:22.",
  );
  expect(waitsWords({ why: "signed_out", since: "14:22" })).toBe(
    "The new one waits for a sign-in.",
  );
});

test("a report's file name holds nothing a phone would refuse", () => {
  const report = { number: "../2026/41: Müller", revision: 2 } as IssuedReport;
  expect(fileName(report)).toBe("report-2026-41-Müller-r2.pdf");
});

test("next open is what the engine lists first, but not what was answered since or cannot be reached", () => {
  const assessment = {
    unchecked: [
      unchecked("bearing_play@rear_left/upper"),
      unchecked("coil_contact@front_left"),
      unchecked("ride_feel"),
    ],
  } as unknown as Assessment;
  const record = {
    observations: [
      { checkpoint: "bearing_play", at: "rear_left", part: "upper", status: "no_access" },
      { checkpoint: "coil_contact", at: "front_left", status: "checked", seen: "none" },
    ],
  } as unknown as InspectionRecord;
  expect(bestNext(assessment, record)?.id).toBe("ride_feel");
  expect(bestNext(assessment, { ...record, observations: [] })?.id).toBe(
    "bearing_play@rear_left/upper",
  );
});
