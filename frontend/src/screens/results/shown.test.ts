import { flushSync, mount, unmount } from "svelte";
import { afterEach, expect, test } from "vitest";
import type { Assessment, Finding, Guide, InspectionRecord, StopId } from "../../lib/documents.ts";
import { made, madeGuide } from "../../lib/guide/made.fixture.ts";
import AssessmentScreen from "./AssessmentScreen.svelte";
import FindingReading from "./FindingReading.svelte";
import type { ResultLinks } from "./links.ts";
import StaleGrade from "./StaleGrade.svelte";
import VerdictHead from "./VerdictHead.svelte";
import WaitingGrade from "./WaitingGrade.svelte";

let shown: Record<string, unknown> | null = null;
afterEach(async () => {
  if (shown !== null) await unmount(shown);
  shown = null;
});
function text(): string {
  flushSync();
  return (document.body.textContent ?? "").replace(/\s+/g, " ");
}

test("a finding opens where several marks want the same figure, and asks for it once", () => {
  const gap = {
    what: "reaches_seal",
    needs: "marks[].from_seal",
    in_words: "reaches the seal: needs how far the mark is from the seal",
  };
  const finding = {
    id: "shaft_surface@front_left",
    title: "Scored",
    measurand: null,
    quantities: {},
    doubt: null,
    limits: null,
    zone: "C",
    sureness: "by_word",
    probability_beyond: null,
    settle_with: null,
    not_determined: [gap, gap],
    not_resolved: [],
  } as unknown as Finding;
  const links = {
    add: () => ({ href: "#/step", words: "Measure it" }),
  } as unknown as ResultLinks;
  shown = mount(FindingReading, {
    target: document.body,
    props: { finding, links, inches: false },
  });
  expect(text().match(/Measure it/g)).toHaveLength(1);
});

const verdict = {
  code: "ride",
  words: "Ride",
  risk: "low",
  provisional: false,
  sentence: "Nothing found needs a repair.",
  scope: "Dampers and springs only.",
};
const assessment = {
  verdict,
  machine: { label: "Quad", coverage: 1 },
} as unknown as Assessment;

test("an older grade draws no risk and repeats no reassurance", () => {
  shown = mount(VerdictHead, {
    target: document.body,
    props: {
      assessment,
      record: {} as InspectionRecord,
      stale: true,
      onWhatCouldChange: () => undefined,
    },
  });
  expect(text()).toContain("This grade is older than your last answers");
  expect(text()).not.toContain("Nothing found needs a repair.");
  expect(document.querySelector("svg")?.getAttribute("aria-label")).toBe("No grade yet");
});

test("above an older grade the phone's own danger stands first, then what the new grade waits for", () => {
  shown = mount(StaleGrade, {
    target: document.body,
    props: {
      stale: {
        why: "no_signal",
        since: "14:22",
        signIn: null,
        danger: { title: "Do not drive it.", lines: ["The mount is cracked through."] },
      },
    },
  });
  const said = text();
  expect(said.indexOf("The mount is cracked through.")).toBeGreaterThanOrEqual(0);
  expect(said.indexOf("waits for a signal")).toBeGreaterThan(said.indexOf("cracked"));
});

test("after a short walk the way on says that it lifts, for how many checks and minutes", () => {
  const machine = { kind: "sport_side_by_side" };
  const guide = madeGuide({ machine, purpose: "purchase" });
  const observations = guide.steps
    .filter((step) => step.short_walk)
    .map(({ checkpoint, at, part }) => ({
      checkpoint,
      ...(at && { at }),
      ...(part && { part }),
      status: "checked",
      seen: guide.checkpoints[checkpoint]!.words[0]!.word,
    }));
  const record = {
    format: "suspension-record/1",
    id: "test",
    inspected_on: "2026-05-14",
    purpose: "purchase",
    machine,
    observations,
  } as unknown as InspectionRecord;
  const [assessment] = made.assessments([record]);
  shown = mount(AssessmentScreen, {
    target: document.body,
    props: {
      assessment: assessment!,
      record,
      drawing: "machine_two_seat",
      links: { step: String, finding: String } as unknown as ResultLinks,
      stopOf: (id: StopId) => guide.stops.find((stop) => stop.id === id)!.name,
      where: "",
      then: null,
    },
  });
  const lifted = guide.steps.filter((step) => step.stop === "lifted" && step.required);
  const minutes = lifted.reduce((all, one) => all + one.minutes, 0);
  expect(text()).toContain(
    `It must stand lifted for this: ${lifted.length} checks, about ${minutes} minutes, and the lifting itself.`,
  );
  const way = document.querySelector(".btn.next")!.textContent!.replace(/\s+/g, " ").trim();
  expect(way).toMatch(/^Lifted \u00b7 Play in the .* \u00b7 30 s$/);
  expect(text()).toMatch(/Lifted \u00b7 30 s \u00b7 \d+ in 100 that it changes the verdict/);
});

test.each([
  [true, "Your answers are sent."],
  [false, "Your answers are kept on this phone."],
])(
  "while the grade is on its way, sent is %s: said once, the same as at the start",
  (sent, words) => {
    const guide = {
      stops: [{ id: "corner", name: "At each corner" }],
      steps: [
        {
          id: "guard@front",
          checkpoint: "guard",
          at: "front",
          part: null,
          stop: "corner",
          title: "Guard",
        },
      ],
      checkpoints: {
        guard: { name: "Guard", words: [{ word: "sound", text: "Whole" }], readings: [] },
      },
      machine_kinds: [],
      reasons: [],
    } as unknown as Guide;
    const record = {
      machine: { kind: "quad", label: "Quad" },
      observations: [{ checkpoint: "guard", at: "front", status: "checked", seen: "sound" }],
    } as unknown as InspectionRecord;
    const links = { step: String } as unknown as ResultLinks;
    shown = mount(WaitingGrade, {
      target: document.body,
      props: { record, guide, links, why: "asking", where: "", sent },
    });
    expect(text()).toContain("Whole");
    expect(text()).toContain(words);
    expect(text().match(/kept on this phone/g) ?? []).toHaveLength(sent ? 0 : 1);
  },
);
