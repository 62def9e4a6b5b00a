import type { Assessment } from "../../lib/documents.ts";

export interface WorthBox {
  id: string;
  /** Shares of the picture, 0 to 1. */
  left: number;
  width: number;
  height: number;
  /** Times in 100, as text. */
  chance: string;
  minutes: number;
}

const MOST = 5;

/** The best checks to make next, side by side, in the engine's order. */
export function worthBoxes(unchecked: Assessment["unchecked"]): WorthBox[] {
  const best = unchecked.slice(0, MOST);
  const minutes = best.reduce((all, one) => all + one.minutes, 0) || 1;
  const highest = Math.max(...best.map((one) => one.chance_changes_verdict), Number.EPSILON);
  let left = 0;
  return best.map((one) => {
    const box = {
      id: one.id,
      left,
      width: one.minutes / minutes,
      height: one.chance_changes_verdict / highest,
      chance: inHundredShort(one.chance_changes_verdict),
      minutes: one.minutes,
    };
    left += box.width;
    return box;
  });
}

function inHundredShort(chance: number): string {
  const of = Math.round(chance * 100);
  return of === 0 && chance > 0 ? "<1" : String(of);
}
