/* What the map shows of each check: from the record alone, and from the assessment once there is one. */
import type {
  Assessment,
  Finding,
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
    const one = seen.get(keyOf(step)) ?? ofAPart(step, record.observations ?? []);
    const finding = graded.get(step.id) ?? worstOf(step, assessment?.findings ?? []);
    if (one?.status === "no_access") {
      const reason = one.reason ?? "";
      return { step, state: "no_access", zone: null, why: reasons.get(reason) ?? reason };
    }
    if (finding === undefined) {
      const why = one?.status === "not_fitted" ? "Not fitted" : "";
      return { step, state: one === undefined ? "unseen" : "seen", zone: null, why };
    }
    if (finding.zone === "?") {
      return {
        step,
        state: "not_determined",
        zone: "?",
        why: finding.not_determined[0]?.in_words ?? "",
      };
    }
    return { step, state: finding.zone === "A" ? "seen" : "worn", zone: finding.zone, why: "" };
  });
}

/** An answer to one part of what is one check here: the hose of a reservoir. */
function ofAPart(step: GuideStep, all: readonly Observation[]): Observation | undefined {
  const its = all.filter(
    (one) =>
      step.part === null && one.checkpoint === step.checkpoint && (one.at ?? null) === step.at,
  );
  return its.find(({ status }) => status === "checked") ?? its[0];
}

function worstOf(step: GuideStep, all: readonly Finding[]): Finding | undefined {
  return all
    .filter((one) => step.part === null && one.checkpoint === step.checkpoint && one.at === step.at)
    .sort((a, b) => ZONES.indexOf(a.zone) - ZONES.indexOf(b.zone))[0];
}

/** Answered, whether it could be graded or not. */
export function isAnswered({ state }: StepState): boolean {
  return state !== "unseen" && state !== "no_access";
}

function keyOf(place: Pick<Observation, "checkpoint" | "at" | "part"> | GuideStep): string {
  return `${place.checkpoint}@${place.at ?? ""}/${place.part ?? ""}`;
}

/** Heaviest first: what a part shows when several checks belong to it. */
const ORDER: readonly PartState[] = ["worn", "not_determined", "no_access", "unseen", "seen"];

const ZONES: readonly Zone[] = ["D", "C", "B", "A", "?"];

/** The check that decides how a part is drawn: worst zone first, then the least looked at. */
export function deciding(states: readonly StepState[]): StepState | undefined {
  const rank = ({ state, zone }: StepState) =>
    ORDER.indexOf(state) * ZONES.length + ZONES.indexOf(zone ?? "?");
  return [...states].sort((a, b) => rank(a) - rank(b))[0];
}

export interface DrawnPart {
  part: string;
  checkpoints: string[];
}

/** Parts of a damper drawing that a check belongs to, the first the likeliest; none where it shows none. */
export function partsFor(
  parts: readonly DrawnPart[],
  checkpoint: string,
  part: string | null,
): string[] {
  const fitting = parts
    .filter((one) => one.checkpoints.includes(checkpoint))
    .map((one) => one.part);
  if (part === null) return fitting;
  const spring = /^spring_(\d+)$/.exec(part);
  const named = spring === null ? fitting.filter((one) => one.includes(part)) : [];
  // More springs in the record than in the drawing: the last one drawn stands for the rest.
  const counted = spring === null ? 0 : Math.min(Number(spring[1]), fitting.length) - 1;
  return named.length > 0 ? named : fitting.slice(counted, counted + 1);
}

/** How each part of one damper is drawn; a part that no check belongs to is thin. */
export function partLooks(
  parts: readonly DrawnPart[],
  states: readonly StepState[],
): Map<string, PartLook> {
  const byPart = new Map<string, StepState[]>(parts.map(({ part }) => [part, []]));
  for (const one of states) {
    for (const part of partsFor(parts, one.step.checkpoint, one.step.part))
      byPart.get(part)?.push(one);
  }
  return new Map([...byPart].map(([part, its]) => [part, lookOf(deciding(its))]));
}

function lookOf(one: StepState | undefined): PartLook {
  if (one === undefined) return { className: "part-none" };
  const worn = one.state === "worn" && one.zone !== null;
  return { className: `part-${one.state}`, paint: worn ? hatchOf(one.zone ?? "?") : undefined };
}
