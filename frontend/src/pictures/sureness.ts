/* How sure a zone is, in words. The zone and the chances are the engine's. */
import type { Finding, Zone } from "../lib/documents.ts";
import { inHundred } from "./figures.ts";

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

/** "Most likely C. Of 100 that read like this about 79 are C; the rest are B or D." Lead is set bold. */
export function surenessWords(finding: Finding): { lead: string; rest: string } {
  const { zone } = finding;
  if (finding.sureness === "not_determined") return { lead: "No zone could be given.", rest: "" };
  if (finding.sureness === "by_word") {
    return { lead: `${zone}, by what was seen.`, rest: "No reading was taken." };
  }
  if (finding.sureness === "clear") return { lead: `${zone}, clearly.`, rest: "" };
  const all = shares(finding);
  const own = all.find((s) => s.zone === zone)?.share ?? 0;
  const others = all.filter((s) => s.zone !== zone && s.share >= 0.005);
  const rest = others.map((s) => s.zone).join(" or ");
  const spread = `Of 100 that read like this about ${Math.round(own * 100)} are ${zone}${rest ? `; the rest are ${rest}` : ""}.`;
  if (others.some((s) => s.share > own)) {
    return {
      lead: `${zone}, to be on the safe side.`,
      rest: `${inHundred(own)} that read like this are ${zone}, and that could do serious harm; the rest are ${rest}.`,
    };
  }
  return { lead: `Most likely ${zone}.`, rest: spread };
}
