/* Words for closed lists, until a guide is at hand to say them. */
export { KIND_WORDS, labelOf } from "../lib/record/called.ts";

export const PURPOSE_WORDS: Record<string, string> = {
  purchase: "Buying",
  intake: "Shop intake",
  going_out: "Going out",
  coming_back: "Coming back",
  periodic: "Periodic",
};

/** "front_left" -> "front left". */
export function placeWords(at: string): string {
  return at.replaceAll("_", " ");
}
