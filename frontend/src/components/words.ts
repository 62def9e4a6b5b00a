/* Words for closed lists, until a guide is at hand to say them. */
import type { SetupDraft } from "../lib/db/rows.ts";

export const PURPOSE_WORDS: Record<string, string> = {
  purchase: "Buying",
  intake: "Shop intake",
  going_out: "Going out",
  coming_back: "Coming back",
  periodic: "Periodic",
};

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
  const called = setup.label.trim() || [setup.model_year.trim(), kind].filter(Boolean).join(" ");
  return called.charAt(0).toUpperCase() + called.slice(1);
}

/** "front_left" -> "front left". */
export function placeWords(at: string): string {
  return at.replaceAll("_", " ");
}
