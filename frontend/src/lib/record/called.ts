/* What a machine is called when nobody gave it a name. */
import type { SetupDraft } from "../db/rows.ts";
import { readYear } from "../typed/year.ts";

export const KIND_WORDS: Record<string, string> = {
  sport_side_by_side: "sport side-by-side",
  utility_side_by_side: "utility side-by-side",
  quad: "quad",
  buggy: "buggy",
  light_truck: "light truck",
  desert_truck: "desert truck",
  motorcycle: "motorcycle",
  other: "other layout",
};

/** What a machine is called: its own label, else year and kind. */
export function labelOf(setup: SetupDraft): string {
  const kind = KIND_WORDS[setup.kind ?? "other"] ?? "machine";
  const called = setup.label.trim() || [readYear(setup.model_year), kind].filter(Boolean).join(" ");
  return called.charAt(0).toUpperCase() + called.slice(1);
}
