import { flushSync, mount, unmount } from "svelte";
import { afterEach, expect, test } from "vitest";
import type { Assessment, Finding, InspectionRecord } from "../../lib/documents.ts";
import FindingReading from "./FindingReading.svelte";
import type { ResultLinks } from "./links.ts";
import StaleGrade from "./StaleGrade.svelte";
import VerdictHead from "./VerdictHead.svelte";

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
