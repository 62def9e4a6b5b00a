/* The walk as it stands: what is done, what is open, what closes the road test. */
import type { InspectionRow, Place, RevisionRow } from "../db/rows.ts";
import type { Guide, GuideStep, GuideWord, Observation, StopId } from "../documents.ts";
import { allSteps, allStops, stepsOf } from "../guide/guides.ts";
import { stepKey } from "../record/current.ts";

export interface Walk {
  steps: GuideStep[];
  /** Positions, 0-based. */
  done: number[];
  missed: number[];
  stops: number[];
  /** Not answered, or not reached. */
  open: GuideStep[];
  /** Checks looked at, of those that are there: what was never fitted is in neither. */
  seen: number;
  of: number;
  /** Of the chosen stops, but not of the short walk. */
  beyond: GuideStep[];
}

export type Current = ReadonlyMap<string, RevisionRow[]>;

export function walkOf(guide: Guide, row: InspectionRow, current: Current): Walk {
  const all = stepsOf(guide, row.setup.stops);
  const short = row.setup.walk === "short";
  const steps = short ? all.filter((step) => step.short_walk) : all;
  const status = statusOf(guide, steps, current);
  const seen = status.filter((one) => one === "checked").length;
  return {
    steps,
    done: positions(status, (one) => one === "checked" || one === "not_fitted"),
    missed: positions(status, (one) => one === "no_access"),
    stops: positions(steps, (step, i) => step.stop !== steps[i - 1]?.stop),
    open: steps.filter((_, i) => status[i] === null || status[i] === "no_access"),
    seen,
    of: steps.length - status.filter((one) => one === "not_fitted").length,
    beyond: short ? all.filter((step) => !step.short_walk) : [],
  };
}

/** What was said of each step. A whole is answered by answers to its parts ("the hose of the
 *  reservoir"), as the engine counts it. */
function statusOf(
  guide: Guide,
  steps: readonly GuideStep[],
  current: Current,
): (Observation["status"] | null)[] {
  const ofParts = new Map<string, Observation["status"]>();
  for (const { observation, ...row } of misplacedIn(guide, current).ofWhole) {
    const whole = stepKey({ ...row, part: null });
    if (observation && ofParts.get(whole) !== "checked") ofParts.set(whole, observation.status);
  }
  return steps.map(
    ({ id }) => current.get(id)?.[0]?.observation?.status ?? ofParts.get(id) ?? null,
  );
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
  return [...allSteps(guide), ...whereMisplaced(guide, current)].flatMap((step) => {
    const answer = current.get(step.id)?.[0];
    const words = guide.checkpoints[step.checkpoint]?.words ?? [];
    return words.flatMap((word) => {
      if (!answer || !seenAt(step.id).includes(word.word)) return [];
      const why = whyDanger(word, step, seenAt);
      return why === null ? [] : [{ step, word: word.text, why, at: answer.recorded_at }];
    });
  });
}

/** The checks of answers that are of no check of this machine by now but were given at one: a broken
 *  spring forbids driving before it is said which of two it is. */
function whereMisplaced(guide: Guide, current: Current): GuideStep[] {
  const all = allSteps(guide);
  const known = new Set(all.map((step) => step.id));
  return [...current].flatMap(([id, [row]]) => {
    if (!row?.observation || known.has(id)) return [];
    const near = all.find((step) => step.checkpoint === row.checkpoint && step.at === row.at);
    return near ? [{ ...near, id, part: row.part }] : [];
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
  return allSteps(guide).find((step) => step.id === id);
}

export interface Misplaced {
  /** Answers to checks this machine has no more. */
  gone: [string, RevisionRow][];
  /** One answer where there are several to tell apart by now: which of the open ones was it? */
  which: { row: RevisionRow; among: GuideStep[] }[];
  /** Answers to a part of what is one check here: they answer it. */
  ofWhole: RevisionRow[];
}

/** Answers whose very check is not there: the layout was changed after they were given, or they came
 *  from elsewhere. */
export function misplacedIn(guide: Guide, current: Current): Misplaced {
  const all = allSteps(guide);
  const known = new Set(all.map((step) => step.id));
  const found: Misplaced = { gone: [], which: [], ofWhole: [] };
  for (const [id, [row]] of current) {
    if (!row?.observation || known.has(id)) continue;
    const parts = all.filter(
      (step) => step.checkpoint === row.checkpoint && step.at === row.at && row.part === null,
    );
    const among = parts.filter((step) => !current.get(step.id)?.[0]?.observation);
    if (among.length > 0) found.which.push({ row, among });
    else if (known.has(stepKey({ ...row, part: null })) && !isFurtherSpring(row))
      found.ofWhole.push(row);
    else found.gone.push([id, row]);
  }
  return found;
}

/** Where one spring is known, a second one's answer is of a spring that is not there. */
function isFurtherSpring({ part }: Place): boolean {
  return /^spring_[2-9]/.test(part ?? "");
}

export function stopName(guide: Guide, stop: StopId): string {
  return allStops(guide).find((one) => one.id === stop)?.name ?? stop;
}

/** First check nobody said anything of; undefined where the walk is done. */
export function whereToGoOn(walk: Walk): GuideStep | undefined {
  const answered = new Set([...walk.done, ...walk.missed]);
  return walk.steps.find((_, i) => !answered.has(i));
}

/** Open ones that nobody has said anything of. */
export function notSeen(walk: Walk): GuideStep[] {
  const missed = new Set(walk.missed.map((i) => walk.steps[i]?.id));
  return walk.open.filter((step) => !missed.has(step.id));
}

/** The check after this one; what was said not to be reached is not asked again. */
export function stepAfter(walk: Walk, position: number): GuideStep | undefined {
  return walk.steps.find((_, i) => i > position && !walk.missed.includes(i));
}
