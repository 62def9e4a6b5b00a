/* How long checks take, in words a person would use. */
import type { Guide, GuideStep } from "../documents.ts";
import { stepsOf } from "../guide/guides.ts";

const A_FEW_SECONDS = 0.4;
const HALF_A_MINUTE = 0.75;

/** "a few seconds", "half a minute", "1 minute", "7 minutes". */
export function minutesSpoken(minutes: number): string {
  if (minutes < A_FEW_SECONDS) return "a few seconds";
  if (minutes < HALF_A_MINUTE) return "half a minute";
  const whole = Math.round(minutes);
  return `${whole} ${whole === 1 ? "minute" : "minutes"}`;
}

/** Minutes of the whole walk and of the short one through these stops, by the guide's own. */
export function walkMinutes(
  guide: Guide,
  stops: readonly string[],
): { full: number; short: number } {
  const sum = (steps: readonly GuideStep[]) => steps.reduce((all, one) => all + one.minutes, 0);
  const steps = stepsOf(guide, stops);
  return { full: sum(steps), short: sum(steps.filter((step) => step.short_walk)) };
}
