import type { Risk, Zone } from "../lib/documents.ts";

/** What a zone letter means, in the sense of ISO 20816-1's evaluation zones. */
export const ZONE_WORDS: Record<Zone, string> = {
  A: "as new",
  B: "fit for long use",
  C: "fit for limited use: plan the repair",
  D: "likely to cause damage",
  "?": "not determined",
};

export const RISK_WORDS: Record<Risk, string> = {
  high: "High risk",
  serious: "Serious risk",
  medium: "Medium risk",
  low: "Low risk",
};

/** Heaviest first: the order in which findings are listed. */
export const RISKS: readonly Risk[] = ["high", "serious", "medium", "low"];

/** SVG paint of a zone; "none" for `?`, whose edge is dashed instead. */
export function hatchOf(zone: Zone): string {
  return zone === "?" ? "none" : `url(#h-${zone.toLowerCase()})`;
}
