import type { GuideStep, StopId } from "../../lib/documents.ts";
import type { StepState } from "../../pictures/partStates.ts";

/**
 * Open checks in the order the body reaches them from where one stands: same place and stop, then the same stop,
 * then the stops that follow, then those behind. Walking order within each. here: null keeps walking order.
 */
export function nearestFirst(open: readonly StepState[], here: GuideStep | null): StepState[] {
  if (here === null) return [...open];
  const stops = [...new Set(open.map(({ step }) => step.stop))];
  const at = stops.indexOf(here.stop);
  const distance = ({ step }: StepState) => {
    if (step.stop === here.stop) return step.at === here.at ? 0 : 1;
    const away = stops.indexOf(step.stop) - at;
    return away > 0 ? 1 + away : stops.length + 1;
  };
  return [...open].sort((a, b) => distance(a) - distance(b));
}

/** The same checks in groups of one stop, in the order in which the stops come. */
export function byStop(states: readonly StepState[]): { stop: StopId; states: StepState[] }[] {
  const groups = new Map<StopId, StepState[]>();
  for (const one of states) groups.set(one.step.stop, [...(groups.get(one.step.stop) ?? []), one]);
  return [...groups].map(([stop, its]) => ({ stop, states: its }));
}
