/* Which cautions stand before which part of the walk, and of which stops they were read. */
import type { SetupDraft } from "../db/rows.ts";
import type { Guide, GuideCaution, GuideStep, StopId } from "../documents.ts";

const ORDER = ["DANGER", "WARNING", "CAUTION", "NOTICE"];

/** The cautions of some stops, gravest first; those of no stop in particular always. */
export function cautionsBefore(guide: Guide, stops: readonly string[]): GuideCaution[] {
  return guide.cautions
    .filter(({ before }) => before.length === 0 || before.some((stop) => stops.includes(stop)))
    .sort((a, b) => ORDER.indexOf(a.signal) - ORDER.indexOf(b.signal));
}

/** Stops of the walk in walking order, each once: a short walk need not come to all that were chosen. */
export function stopsWalked(steps: readonly GuideStep[]): StopId[] {
  return [...new Set(steps.map((step) => step.stop))];
}

export function cautionsReadOf(setup: SetupDraft): string[] {
  return setup.cautions_read ? (setup.cautions_read_of ?? setup.stops) : [];
}

/** A check of a chosen stop that the walk begun did not come to: its cautions stand before it. */
export function cautionsWait(setup: SetupDraft, step: GuideStep): boolean {
  return (
    setup.cautions_read &&
    setup.stops.includes(step.stop) &&
    !cautionsReadOf(setup).includes(step.stop)
  );
}
