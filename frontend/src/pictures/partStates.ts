/* What the map shows of each check: from the record alone, and from the assessment once there is one. */
import type {
  Assessment,
  Guide,
  GuideStep,
  InspectionRecord,
  Observation,
  Zone,
} from "../lib/documents.ts";
import { hatchOf } from "./zones.ts";
import type { PartLook } from "./drawings.ts";
import type { PartState } from "./states.ts";

export interface StepState {
  step: GuideStep;
  state: PartState;
  zone: Zone | null;
  /** Why it could not be reached, or what would settle it. */
  why: string;
}

/** State of every check of the guide, in walking order. assessment: null while nothing is graded. */
export function stepStates(
  guide: Guide,
  record: InspectionRecord,
  assessment: Assessment | null,
): StepState[] {
  const graded = new Map(assessment?.findings.map((finding) => [finding.id, finding]));
  const seen = new Map(record.observations?.map((one) => [keyOf(one), one]));
  const reasons = new Map(guide.reasons.map((reason) => [reason.id, reason.text]));
  return guide.steps.map((step) => {
    const one = seen.get(keyOf(step));
    const finding = graded.get(step.id);
    if (one === undefined) return { step, state: "unseen", zone: null, why: "" };
    if (one.status === "no_access") {
      const reason = one.reason ?? "";
      return { step, state: "no_access", zone: null, why: reasons.get(reason) ?? reason };
    }
    if (finding === undefined) return { step, state: "seen", zone: null, why: "" };
    if (finding.zone === "?") {
      return {
        step,
        state: "not_determined",
        zone: "?",
        why: finding.not_determined[0]?.needs ?? "",
      };
    }
    return { step, state: finding.zone === "A" ? "seen" : "worn", zone: finding.zone, why: "" };
  });
}

function keyOf(place: Pick<Observation, "checkpoint" | "at" | "part"> | GuideStep): string {
  return `${place.checkpoint}@${place.at ?? ""}/${place.part ?? ""}`;
}

/** Heaviest first: what a part shows when several checks belong to it. */
const ORDER: readonly PartState[] = ["worn", "not_determined", "no_access", "unseen", "seen"];

/** The check that decides how a part is drawn: worst zone first, then the least looked at. */
export function deciding(states: readonly StepState[]): StepState | undefined {
  const rank = (one: StepState) =>
    ORDER.indexOf(one.state) * 10 - (one.zone ?? "").charCodeAt(0) / 1000;
  return [...states].sort((a, b) => rank(a) - rank(b))[0];
}

export interface DrawnPart {
  part: string;
  checkpoints: string[];
}

/** Part of a damper drawing that a check belongs to; null where the drawing shows none for it. */
export function partFor(
  parts: readonly DrawnPart[],
  checkpoint: string,
  part: string | null,
): string | null {
  const fitting = parts.filter((one) => one.checkpoints.includes(checkpoint));
  const spring = /^spring_(\d+)$/.exec(part ?? "");
  if (spring !== null)
    return fitting[Math.min(Number(spring[1]), fitting.length) - 1]?.part ?? null;
  return (
    (fitting.find((one) => part !== null && one.part.includes(part)) ?? fitting[0])?.part ?? null
  );
}

/** How each part of one damper is drawn; parts no check belongs to stay plain. */
export function partLooks(
  parts: readonly DrawnPart[],
  states: readonly StepState[],
): Map<string, PartLook> {
  const byPart = new Map<string, StepState[]>();
  for (const one of states) {
    const part = partFor(parts, one.step.checkpoint, one.step.part);
    if (part !== null) byPart.set(part, [...(byPart.get(part) ?? []), one]);
  }
  const looks = new Map<string, PartLook>();
  for (const [part, its] of byPart) {
    const one = deciding(its);
    if (one !== undefined) looks.set(part, lookOf(one));
  }
  return looks;
}

function lookOf(one: StepState): PartLook {
  const worn = one.state === "worn" && one.zone !== null;
  return { className: `part ${one.state}`, paint: worn ? hatchOf(one.zone ?? "?") : undefined };
}
