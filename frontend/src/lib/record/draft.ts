/* What is on a step's screen, as typed, and the observation it amounts to. */
import type { GuideCheckpoint, GuideReading, Observation, Trace } from "../documents.ts";
import { ruleOf } from "../typed/allowed.ts";
import { readTyped, type TypedQuantity } from "../typed/quantity.ts";

export interface TypedText {
  text: string;
  unit: string;
  /** Standard uncertainty, same unit, where whatever measured it told one; gone once typed over. */
  u?: string;
}
export interface MarkDraft {
  kind: string | null;
  feel: string | null;
  direction: string | null;
  raised: boolean | null;
  to_base_metal: boolean | null;
  readings: Record<string, TypedText>;
}
export interface StepDraft {
  status: "checked" | "no_access" | "not_fitted";
  reason: string | null;
  seen: string[];
  surface: string | null;
  readings: Record<string, TypedText[]>;
  instrument: string | null;
  marks: MarkDraft[];
  note: string;
  photos: string[]; // sha256
  /** What the motion sensor recorded; drafts of older versions have none. */
  trace?: Trace | null;
}
export const EMPTY_DRAFT: StepDraft = {
  status: "checked",
  reason: null,
  seen: [],
  surface: null,
  readings: {},
  instrument: null,
  marks: [],
  note: "",
  photos: [],
};
export const EMPTY_MARK: MarkDraft = {
  kind: null,
  feel: null,
  direction: null,
  raised: null,
  to_base_metal: null,
  readings: {},
};

type WithDoubt = TypedQuantity & { u?: string };
const typedOf = (typed: TypedText, reading: GuideReading): WithDoubt | null => {
  const read = readTyped(typed.text, typed.unit, ruleOf(reading, typed.unit));
  if (!read.ok) return null;
  const told = typed.u !== undefined && "value" in read.quantity;
  return told ? { ...read.quantity, u: typed.u! } : read.quantity;
};

const valueOf = (quantity: TypedQuantity): string[] =>
  "value" in quantity ? [quantity.value] : [];

/** The observation a draft amounts to, or null while nothing has been said yet. Texts that cannot
 *  be read stay in the draft: they are kept, not sent. */
export function observationOf(
  draft: StepDraft,
  checkpoint: GuideCheckpoint,
  place: { at: string | null; part: string | null },
): Omit<Observation, "id"> | null {
  const base: Omit<Observation, "id"> = {
    checkpoint: checkpoint.id,
    ...(place.at !== null && { at: place.at }),
    ...(place.part !== null && { part: place.part }),
    status: draft.status,
  };
  const extras = {
    ...(draft.note.trim() && { note: draft.note.trim() }),
    ...(draft.photos.length > 0 && { photos: draft.photos.map((sha256) => `sha256:${sha256}`) }),
  };
  if (draft.status === "not_fitted") return { ...base, ...extras };
  if (draft.status === "no_access")
    return draft.reason ? { ...base, reason: draft.reason, ...extras } : null;
  const readings = readingsOf(draft, checkpoint);
  const marks = checkpoint.marks ? marksOf(draft, checkpoint.marks.readings) : [];
  if (!draft.seen.length && !marks.length && !Object.keys(readings).length) return null;
  return {
    ...base,
    ...(draft.seen.length > 0 && { seen: checkpoint.any_of ? draft.seen : draft.seen[0]! }),
    ...(draft.surface && { surface: draft.surface as NonNullable<Observation["surface"]> }),
    ...(Object.keys(readings).length > 0 && { readings }),
    ...(marks.length > 0 && { marks }),
    ...(draft.instrument && Object.keys(readings).length > 0 && { instrument: draft.instrument }),
    ...extras,
  };
}

function readingsOf(draft: StepDraft, checkpoint: GuideCheckpoint): Record<string, unknown> {
  const readings: Record<string, unknown> = {};
  for (const reading of checkpoint.readings) {
    const typed = draft.readings[reading.key] ?? [];
    const quantities = typed.flatMap((t) => typedOf(t, reading) ?? []);
    const first = quantities[0];
    if (!first) continue;
    if (!reading.several) readings[reading.key] = first;
    // One swing tells nothing about the next: a list starts with two.
    else if (quantities.length > 1)
      readings[reading.key] = { values: quantities.flatMap(valueOf), unit: first.unit };
  }
  if (draft.trace) readings["trace"] = draft.trace;
  return readings;
}

function marksOf(draft: StepDraft, asked: GuideReading[]): Record<string, unknown>[] {
  return draft.marks.filter((mark) => mark.kind !== null).map((mark) => markOf(mark, asked));
}

function markOf(mark: MarkDraft, asked: GuideReading[]): Record<string, unknown> {
  const readings = asked.flatMap((reading) => {
    const typed = mark.readings[reading.key];
    const quantity = typed && typedOf(typed, reading);
    return quantity ? [[reading.key, quantity] as const] : [];
  });
  return {
    kind: mark.kind,
    ...Object.fromEntries(readings),
    ...(mark.feel && { feel: mark.feel }),
    ...(mark.direction && { direction: mark.direction }),
    ...(mark.raised !== null && { raised: mark.raised }),
    ...(mark.to_base_metal !== null && { to_base_metal: mark.to_base_metal }),
  };
}

/** Every typed text of a step that stands in a field, with what may stand there. */
export function typedIn(
  draft: StepDraft,
  checkpoint: GuideCheckpoint,
): { reading: GuideReading; typed: TypedText }[] {
  const own = checkpoint.readings.flatMap((reading) =>
    (draft.readings[reading.key] ?? []).map((typed) => ({ reading, typed })),
  );
  const ofMarks = (checkpoint.marks?.readings ?? []).flatMap((reading) =>
    draft.marks.flatMap((mark) => {
      const typed = mark.readings[reading.key];
      return typed ? [{ reading, typed }] : [];
    }),
  );
  return [...own, ...ofMarks];
}

/** The way back: an observation that came from the server, put on the screen as it was typed. */
export function draftOf(
  observation: Omit<Observation, "id">,
  checkpoint: GuideCheckpoint,
): StepDraft {
  const seen = observation.seen ?? [];
  const readings: StepDraft["readings"] = {};
  for (const reading of checkpoint.readings) {
    const value = observation.readings?.[reading.key];
    if (value !== undefined) readings[reading.key] = textsOf(value, reading.units[0] ?? "1");
  }
  return {
    status: observation.status,
    reason: observation.reason ?? null,
    seen: Array.isArray(seen) ? seen : [seen],
    surface: observation.surface ?? null,
    readings,
    instrument: observation.instrument ?? null,
    marks: (observation.marks ?? []).map((mark) => markDraftOf(mark, checkpoint)),
    note: observation.note ?? "",
    photos: (observation.photos ?? []).map((id) => id.replace(/^sha256:/, "")),
    trace: (observation.readings?.["trace"] as Trace | undefined) ?? null,
  };
}

function markDraftOf(mark: Record<string, unknown>, checkpoint: GuideCheckpoint): MarkDraft {
  const text = (key: string) => (typeof mark[key] === "string" ? (mark[key] as string) : null);
  const flag = (key: string) => (typeof mark[key] === "boolean" ? (mark[key] as boolean) : null);
  const readings: MarkDraft["readings"] = {};
  for (const reading of checkpoint.marks?.readings ?? []) {
    const typed =
      mark[reading.key] === undefined
        ? undefined
        : textsOf(mark[reading.key], reading.units[0] ?? "1")[0];
    if (typed) readings[reading.key] = typed;
  }
  return {
    kind: text("kind"),
    feel: text("feel"),
    direction: text("direction"),
    raised: flag("raised"),
    to_base_metal: flag("to_base_metal"),
    readings,
  };
}

/** A quantity of a record as texts and units to show in fields. */
export function textsOf(value: unknown, unit: string): TypedText[] {
  if (typeof value === "string") {
    const cut = /^(.*\S)\s+(\D\S*)$/u.exec(value);
    return [{ text: cut?.[1] ?? value, unit: cut?.[2] ?? unit }];
  }
  if (typeof value !== "object" || value === null) return [{ text: String(value), unit }];
  const v = value as Record<string, unknown>;
  const own = typeof v["unit"] === "string" ? v["unit"] : unit;
  if (Array.isArray(v["values"]))
    return v["values"].map((one) => ({ text: String(one), unit: own }));
  if (v["low"] !== undefined)
    return [{ text: `${String(v["low"])} to ${String(v["high"])}`, unit: own }];
  const u = v["u"];
  return [{ text: String(v["value"]), unit: own, ...(u !== undefined && { u: String(u) }) }];
}
