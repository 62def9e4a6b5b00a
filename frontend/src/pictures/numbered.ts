/* Which finding has which number: the same on map, list, photo and printed page. */
import type { Assessment, Finding, Risk } from "../lib/documents.ts";
import { RISKS } from "./zones.ts";

export interface Numbered {
  number: number;
  finding: Finding;
}

/** The findings that the engine numbered, in their numbers' order. */
export function numbered(assessment: Pick<Assessment, "findings">): Numbered[] {
  return assessment.findings
    .flatMap((finding) => (finding.number === null ? [] : [{ number: finding.number, finding }]))
    .sort((a, b) => a.number - b.number);
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
