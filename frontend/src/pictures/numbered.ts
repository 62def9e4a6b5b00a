/* Which finding has which number: the same on map, list, photo and printed page. */
import type { Assessment, Finding, Risk } from "../lib/documents.ts";
import { RISKS } from "./zones.ts";

export interface Numbered {
  number: number;
  finding: Finding;
}

/** Worn findings (zones C and D), worst risk first, then worst zone, then as the engine lists them. */
export function numbered(assessment: Pick<Assessment, "findings">): Numbered[] {
  const weight = (f: Finding) => RISKS.indexOf(f.risk) * 2 + (f.zone === "D" ? 0 : 1);
  const worn = assessment.findings.filter((f) => f.zone === "C" || f.zone === "D");
  return worn
    .sort((a, b) => weight(a) - weight(b))
    .map((finding, i) => ({ number: i + 1, finding }));
}

/** The numbered findings under the weight of their risk, heaviest first; empty risks left out. */
export function byRisk(found: readonly Numbered[]): { risk: Risk; found: Numbered[] }[] {
  return RISKS.map((risk) => ({
    risk,
    found: found.filter((item) => item.finding.risk === risk),
  })).filter((group) => group.found.length > 0);
}

/** "Lower bearing loose, front left". The machine's own findings need no place. */
export function namedAndPlaced(item: { title: string; place: string; at: string | null }): string {
  return item.at === null ? item.title : `${item.title}, ${item.place}`;
}
