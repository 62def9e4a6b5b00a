/* Answers in the person's own words: the guide's words for what was tapped, readings as typed. */
import type {
  Guide,
  GuideCheckpoint,
  InspectionRecord,
  Observation,
  StopId,
} from "../../lib/documents.ts";

export interface Answer {
  step: string;
  stop: StopId;
  title: string;
  words: string;
  reached: boolean;
  status: Observation["status"];
}

/** Every answered check of the guide in walking order. */
export function answersOf(record: InspectionRecord, guide: Guide): Answer[] {
  return guide.steps.flatMap((step) => {
    const one = record.observations?.find(
      (o) =>
        o.checkpoint === step.checkpoint &&
        (o.at ?? null) === step.at &&
        (o.part ?? null) === step.part,
    );
    const checkpoint = guide.checkpoints[step.checkpoint];
    if (one === undefined || checkpoint === undefined) return [];
    const title = step.at === null ? step.title : `${step.title}, ${step.place}`;
    return [
      {
        step: step.id,
        stop: step.stop,
        title,
        words: wordsOf(one, checkpoint, guide),
        reached: one.status !== "no_access",
        status: one.status,
      },
    ];
  });
}

/** How many of the checks were looked at, and what became of the other answers. */
export function sawWords(answers: readonly Answer[], of: number): { saw: string; rest: string } {
  const count = (status: Observation["status"]) =>
    answers.filter((one) => one.status === status).length;
  const rest = [
    count("no_access") > 0 && `${count("no_access")} could not be reached`,
    count("not_fitted") > 0 && `${count("not_fitted")} not fitted`,
  ].filter(Boolean);
  return {
    saw: `What you saw: ${count("checked")} of ${of}`,
    rest: rest.length === 0 ? "" : `${rest.join(", ")}.`,
  };
}

function wordsOf(one: Observation, checkpoint: GuideCheckpoint, guide: Guide): string {
  if (one.status === "not_fitted") return "Not fitted";
  if (one.status === "no_access") {
    return `Could not get to it: ${guide.reasons.find(({ id }) => id === one.reason)?.text ?? one.reason ?? "no reason given"}`;
  }
  const seen = [one.seen ?? []].flat().map((word) => {
    const text = checkpoint.words.find((w) => w.word === word)?.text ?? word;
    return `“${text}”`;
  });
  const readings = Object.entries(one.readings ?? {}).map(([key, value]) => {
    const name = checkpoint.readings.find((r) => r.key === key)?.name ?? key;
    return `${name} ${asTyped(value)}`;
  });
  const marks =
    one.marks === undefined || one.marks.length === 0
      ? []
      : [`${one.marks.length} on the shaft written down`];
  return [...seen, ...readings, ...marks, one.note ?? ""].filter(Boolean).join(", ");
}

/** A reading as it was typed, with its unit; a list of peaks as a list. */
export function asTyped(value: unknown): string {
  if (typeof value === "string" || typeof value === "number") return String(value);
  if (typeof value !== "object" || value === null) return "";
  const typed = value as Record<string, unknown>;
  const unit = typeof typed["unit"] === "string" ? ` ${typed["unit"]}` : "";
  if (Array.isArray(typed["values"])) return `${typed["values"].join(", ")}${unit}`;
  if ("low" in typed) return `${String(typed["low"])} to ${String(typed["high"])}${unit}`;
  return "value" in typed ? `${String(typed["value"])}${unit}` : "recorded";
}
