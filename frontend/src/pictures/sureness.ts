/* How sure a zone is, in words. The zone and the chances are the engine's. */
import type { Finding, Zone } from "../lib/documents.ts";

/** Chance of each zone, best first, from the chances of being beyond each limit. */
export function shares(
  finding: Pick<Finding, "probability_beyond" | "limits">,
): { zone: Zone; share: number }[] {
  const beyond = finding.probability_beyond;
  if (beyond === null) return [];
  const last = finding.limits !== null && finding.limits.C === null ? "B" : "C";
  const chain: [Zone, number, number][] = [
    ["A", 1, beyond.A],
    ["B", beyond.A, beyond.B],
    ["C", beyond.B, last === "B" ? 0 : beyond.C],
    ["D", last === "B" ? 0 : beyond.C, 0],
  ];
  return chain
    .map(([zone, from, to]) => ({ zone, share: Math.max(from - to, 0) }))
    .filter(({ share }) => share > 0);
}

export interface Sureness {
  /** Set bold. */
  lead: string;
  rest: string;
  /** Chances of an answer by eye or hand: a tap away, because they are only as good as the word. */
  figures: string;
}

/** "Most likely C. Of 100 that read like this about 79 are C; the rest are B or D." */
export function surenessWords(finding: Finding): Sureness {
  const { zone, sureness } = finding;
  if (sureness === "not_determined")
    return { lead: "No zone could be given.", rest: "", figures: "" };
  const byWord = sureness === "by_word" || isByWord(finding);
  const noReading = byWord ? "By what was seen; no reading was taken." : "";
  const all = shares(finding);
  if (sureness === "by_word" || all.length === 0)
    return { lead: `${zone}.`, rest: noReading, figures: "" };
  const own = all.find((one) => one.zone === zone)?.share ?? 0;
  const others = all.filter((one) => one.zone !== zone && one.share >= 0.005);
  const rest = others.map((one) => one.zone).join(" or ");
  const counts = `Of 100 that ${byWord ? "look" : "read"} like this about ${Math.round(own * 100)} are ${zone}${rest ? `; the rest are ${rest}` : ""}.`;
  if (others.some((one) => one.share > own)) {
    // A guarded limit: the failure beyond it does serious harm, so a small chance of it decides.
    const why = `It could be ${rest}, but ${zone} here can do serious harm. ${noReading}`.trim();
    return { lead: `${zone}, to be on the safe side.`, rest: why, figures: counts };
  }
  if (sureness === "clear") return { lead: `${zone}, clearly.`, rest: noReading, figures: "" };
  const even = sureness === "could_be_either";
  if (byWord) {
    return {
      lead: even ? `Perhaps ${zone}.` : `Most likely ${zone}.`,
      rest: `${rest ? `Could be ${rest}. ` : ""}${noReading}`,
      figures: counts,
    };
  }
  const lead = even ? "Could be either." : `Most likely ${zone}.`;
  return { lead, rest: counts, figures: "" };
}

/** Whether the doubt is that of a word, not of an instrument. */
export function isByWord(finding: Pick<Finding, "doubt">): boolean {
  return finding.doubt?.by_word === true;
}
