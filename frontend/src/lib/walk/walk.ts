/* The walk as it stands: what is done, what is open, what closes the road test. */
import type { InspectionRow, Place, RevisionRow } from "../db/rows.ts";
import type { Guide, GuideStep, GuideWord, StopId } from "../documents.ts";
import { stepsOf } from "../guide/guides.ts";
import { stepKey } from "../record/current.ts";

export interface Walk {
  steps: GuideStep[];
  /** Positions, 0-based. */
  done: number[];
  missed: number[];
  stops: number[];
  open: GuideStep[];
  /** Of the chosen stops, but not of the short walk. */
  beyond: GuideStep[];
}

export type Current = ReadonlyMap<string, RevisionRow[]>;

export function walkOf(guide: Guide, row: InspectionRow, current: Current): Walk {
  const all = stepsOf(guide, row.setup.stops);
  const short = row.setup.walk === "short";
  const steps = short ? all.filter((step) => step.short_walk) : all;
  const status = steps.map((step) => current.get(step.id)?.[0]?.observation?.status ?? null);
  return {
    steps,
    done: positions(status, (one) => one === "checked" || one === "not_fitted"),
    missed: positions(status, (one) => one === "no_access"),
    stops: positions(steps, (step, i) => step.stop !== steps[i - 1]?.stop),
    open: steps.filter((_, i) => status[i] === null || status[i] === "no_access"),
    beyond: short ? all.filter((step) => !step.short_walk) : [],
  };
}

function positions<T>(items: T[], is: (item: T, i: number) => boolean): number[] {
  return items.flatMap((item, i) => (is(item, i) ? [i] : []));
}

export interface Danger {
  step: GuideStep;
  word: string;
  why: string;
  at: string;
}

/** Answers that forbid driving: the guide says which words do, alone or with another word at the
 *  same place and part. */
export function dangersIn(guide: Guide, current: Current): Danger[] {
  const seenAt = (key: string) => [current.get(key)?.[0]?.observation?.seen ?? []].flat();
  return [...guide.steps, ...guide.other_steps].flatMap((step) => {
    const answer = current.get(step.id)?.[0];
    const words = guide.checkpoints[step.checkpoint]?.words ?? [];
    return words.flatMap((word) => {
      if (!answer || !seenAt(step.id).includes(word.word)) return [];
      const why = whyDanger(word, step, seenAt);
      return why === null ? [] : [{ step, word: word.text, why, at: answer.recorded_at }];
    });
  });
}

/** The sentence why a word forbids driving, or null where it does not. */
export function whyDanger(
  word: GuideWord,
  step: Place,
  seenAt: (key: string) => string[],
): string | null {
  if (word.stop_riding === "DANGER") return word.why ?? "";
  const other = word.danger_with;
  if (!other) return null;
  const there = seenAt(stepKey({ ...step, checkpoint: other.checkpoint }));
  return other.words.some((one) => there.includes(one)) ? other.why : null;
}

/** The very check of that name, whether its stop was chosen or not; undefined where this machine has none. */
export function stepNamed(guide: Guide, id: string): GuideStep | undefined {
  return [...guide.steps, ...guide.other_steps].find((step) => step.id === id);
}

/** Answers to checks this machine has no more, by name: the layout was changed after they were given. */
export function answeredAndGone(guide: Guide, current: Current): [string, RevisionRow][] {
  const known = new Set([...guide.steps, ...guide.other_steps].map((step) => step.id));
  return [...current].flatMap(([id, [newest]]): [string, RevisionRow][] =>
    newest?.observation && !known.has(id) ? [[id, newest]] : [],
  );
}

export function stopName(guide: Guide, stop: StopId): string {
  return guide.stops.find((one) => one.id === stop)?.name ?? stop;
}

/** First check not looked at yet, else the first. */
export function whereToGoOn(walk: Walk, current: Current): GuideStep | undefined {
  return walk.steps.find((step) => !current.get(step.id)?.[0]?.observation) ?? walk.steps[0];
}

/** The check after this one; what was said not to be reached is not asked again. */
export function stepAfter(walk: Walk, position: number): GuideStep | undefined {
  return walk.steps.find((_, i) => i > position && !walk.missed.includes(i));
}
