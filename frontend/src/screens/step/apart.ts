/* Answers to one check that were written apart, in words. */
import type { RevisionRow } from "../../lib/db/rows.ts";
import type { Guide, GuideStep, InspectionRecord } from "../../lib/documents.ts";
import { answersOf } from "../results/answers.ts";

export function wordsOf({ observation }: RevisionRow, guide: Guide, step: GuideStep): string {
  if (!observation) return "Taken back: no answer";
  const only = { observations: [observation] } as unknown as InspectionRecord;
  return answersOf(only, { ...guide, steps: [step] })[0]?.words || "Answered";
}

export function whoAndWhen(row: RevisionRow): string[] {
  const at = new Date(row.recorded_at);
  return [
    row.by ?? "on this phone",
    at.toLocaleString([], { dateStyle: "medium", timeStyle: "short" }),
  ];
}
