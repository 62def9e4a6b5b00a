import { describe, expect, test } from "vitest";
import { stepStates } from "../../pictures/partStates.ts";
import type { InspectionRow, RevisionRow } from "../db/rows.ts";
import type { Guide, GuideStep, InspectionRecord, Observation } from "../documents.ts";
import { fixtures, made, madeGuide } from "../guide/made.fixture.ts";
import { stepsOf, stopsFor } from "../guide/guides.ts";
import { currentByStep } from "../record/current.ts";
import { dangersIn, misplacedIn, notSeen, stepNamed, walkOf, whereToGoOn } from "./walk.ts";

const step = (id: string, stop: string) => ({ id, stop, checkpoint: id }) as unknown as GuideStep;
const guide = {
  steps: [step("mounting@front_left", "corner")],
  other_steps: [step("bearing_play@front_left/lower", "lifted")],
  hidden_steps: [],
} as unknown as Guide;

test("a check of a stop that was not chosen is that very check", () => {
  expect(stepNamed(guide, "bearing_play@front_left/lower")?.stop).toBe("lifted");
  expect(stepNamed(guide, "mounting@front_left")?.stop).toBe("corner");
});

test("a check this machine has not is never another one", () => {
  expect(stepNamed(guide, "bearing_play@rear_left/lower")).toBeUndefined();
});

let count = 0;
function answer(observation: Omit<Observation, "id">): RevisionRow {
  const { checkpoint, at = null, part = null } = observation;
  count += 1;
  const id = `answer-${count}`;
  const rest = { inspection: "i", replaces: [], recorded_at: "", position: count, by: null };
  return { ...rest, id, checkpoint, at, part, observation };
}
const currentOf = (observations: readonly Omit<Observation, "id">[]) =>
  currentByStep(observations.map(answer));
const rowFor = (stops: readonly string[], walk: "full" | "short" = "full") =>
  ({ setup: { stops, walk } }) as unknown as InspectionRow;

/** The soundest answer there is; what may not be fitted is not. */
function soundAnswer({ checkpoint, at, part, ...one }: GuideStep, all: Guide): Observation {
  const { words, readings, any_of } = all.checkpoints[checkpoint]!;
  const where = { checkpoint, ...(at && { at }), ...(part && { part }) };
  if (one.may_be_not_fitted) return { ...where, status: "not_fitted" };
  if (words[0]) {
    const seen = any_of ? [words[0].word] : words[0].word;
    return { ...where, status: "checked", seen };
  }
  const [first] = readings;
  const value = `${first!.usual!.high} ${first!.usual!.unit}`;
  return { ...where, status: "checked", readings: { [first!.key]: value } };
}

describe("once everything was answered, nothing is open anywhere", () => {
  const all = fixtures();
  const answered = all.map(({ record, guide: own }) => ({
    ...record,
    observations: own.steps.map((one) => soundAnswer(one, own)),
  })) as InspectionRecord[];
  const graded = made.assessments(answered);
  test.each(all.map(({ record, guide: own }, i) => [record.id, own, i] as const))(
    "%s",
    (_id, own, i) => {
      const record = answered[i]!;
      const current = currentOf(record.observations!);
      const stops = own.stops.filter(({ chosen }) => chosen).map(({ id }) => id);
      const walk = walkOf(own, rowFor(stops), current);
      expect(walk.open).toEqual([]);
      expect(notSeen(walk)).toEqual([]);
      expect(walk.done).toHaveLength(own.steps.length);
      expect(misplacedIn(own, current)).toEqual({ gone: [], which: [], ofWhole: [] });
      // The same number that the engine's coverage counts.
      expect(walk.of).toBe(graded[i]!.machine.applicable);
      for (const assessment of [null, graded[i]!]) {
        const states = stepStates(own, record, assessment).map(({ state }) => state);
        expect(states.filter((one) => one === "unseen" || one === "no_access")).toEqual([]);
      }
    },
  );
});

const CORNER = { at: "front_left", damper: "coilover" };
const machine = { kind: "sport_side_by_side" };

test("an answer to the hose answers the reservoir, as the engine counts it", () => {
  const own = madeGuide({ machine, assemblies: [{ ...CORNER, reservoir: true }] });
  const hose = { checkpoint: "reservoir", at: "front_left", part: "hose", seen: "chafed" };
  const current = currentOf([{ ...hose, status: "checked" }]);
  const walk = walkOf(own, rowFor(["corner"]), current);
  expect(walk.open.map(({ checkpoint }) => checkpoint)).not.toContain("reservoir");
  expect(walk.seen).toBe(1);
  expect(misplacedIn(own, current).gone).toEqual([]);
});

test("one answer where two springs are known by now is kept and asked which it was", () => {
  const own = madeGuide({ machine, assemblies: [{ ...CORNER, springs: [{}, {}] }] });
  const whole = { checkpoint: "coil_contact", at: "front_left", status: "checked", seen: "none" };
  const current = currentOf([whole as Observation]);
  const { which, gone } = misplacedIn(own, current);
  expect(gone).toEqual([]);
  expect(which.map(({ among }) => among.map(({ part }) => part))).toEqual([
    ["spring_1", "spring_2"],
  ]);
});

test("a broken spring forbids driving before it is said which of two it is", () => {
  const own = madeGuide({ machine, assemblies: [{ ...CORNER, springs: [{}, {}] }] });
  const broken = { checkpoint: "spring_condition", at: "front_left", seen: "broken" };
  const dangers = dangersIn(own, currentOf([{ ...broken, status: "checked" } as Observation]));
  expect(dangers.map(({ step, word }) => [step.id, step.part, word])).toEqual([
    ["spring_condition@front_left", null, expect.stringMatching(/broken/i)],
  ]);
});

test("an answer whose check is gone is told; one taken back is not", () => {
  const own = madeGuide({ machine, assemblies: [{ at: "front_left", damper: "plain" }] });
  const seen = { at: "front_left", status: "checked", seen: "sound" } as const;
  const taken = { ...answer({ ...seen, checkpoint: "slider" }), observation: null };
  const current = currentByStep([
    answer({ ...seen, checkpoint: "mounting" }),
    answer({ ...seen, checkpoint: "spring_condition" }),
    taken,
  ]);
  expect(misplacedIn(own, current).gone.map(([id]) => id)).toEqual(["spring_condition@front_left"]);
});

test("a walk that is done goes on at no check", () => {
  const own = madeGuide({ machine });
  const current = currentOf(stepsOf(own, ["corner"]).map((step) => soundAnswer(step, own)));
  expect(whereToGoOn(walkOf(own, rowFor(["corner"]), current))).toBeUndefined();
});

test("where to go on is the first that nobody said anything of", () => {
  const own = madeGuide({ machine });
  const [first, second, third] = stepsOf(own, ["corner"]);
  const current = currentOf([
    soundAnswer(first!, own),
    { ...soundAnswer(second!, own), status: "no_access", reason: "covered" },
  ]);
  expect(whereToGoOn(walkOf(own, rowFor(["corner"]), current))?.id).toBe(third!.id);
});

test("a guide made for buying holds the shop's checks, for one who changes the purpose with no signal", () => {
  const own = madeGuide({ machine, purpose: "purchase" });
  const ids = (purpose: "purchase" | "intake") => stopsFor(own, purpose, []).map(({ id }) => id);
  expect(ids("purchase")).not.toContain("shop");
  expect(ids("intake")).toEqual(expect.arrayContaining(["shop", "stripped"]));
  const shop = stepsOf(own, ["shop"]).map(({ checkpoint }) => checkpoint);
  expect(shop).toEqual(expect.arrayContaining(["gas_pressure", "shaft_runout"]));
});

test.each(["sport_side_by_side", "quad", "motorcycle", "desert_truck"])(
  "the short walk round a %s takes at most eight minutes",
  (kind) => {
    const own = madeGuide({ machine: { kind } });
    const walk = walkOf(own, rowFor(["on_wheels", "corner", "lifted"], "short"), new Map());
    const minutes = walk.steps.reduce((sum, one) => sum + one.minutes, 0);
    expect(minutes).toBeGreaterThan(4);
    expect(minutes).toBeLessThanOrEqual(8);
  },
);
