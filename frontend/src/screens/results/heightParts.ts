import type { Finding, Interval } from "../../lib/documents.ts";
import { figure } from "../../pictures/figures.ts";

export interface HeightPart {
  name: string;
  value: number | Interval;
  /** Ends of the bar, millimetres at the spring; the same where the engine gives a number. */
  low: number;
  high: number;
  resolved: boolean;
}

const PARTS: [quantity: string, name: string][] = [
  ["loss_from_set_mm", "Spring settled for good"],
  ["loss_from_rate_mm", "Spring grown weaker"],
  ["loss_from_gas_mm", "Less gas"],
];

/** The parts the engine split a loss into; what it did not determine is not among them. */
export function heightParts(
  finding: Pick<Finding, "quantities" | "not_resolved" | "not_determined">,
): HeightPart[] {
  const unknown = new Set(finding.not_determined.map((gap) => gap.what));
  return PARTS.flatMap(([quantity, name]) => {
    const value = finding.quantities[quantity];
    // Taken as 0 by the engine where it could not be told: it is named below, not drawn.
    if (value === undefined || typeof value === "boolean" || unknown.has(quantity)) return [];
    const [low, high] = typeof value === "number" ? [value, value] : [value.low, value.high];
    return [{ name, value, low, high, resolved: !finding.not_resolved.includes(quantity) }];
  });
}

/** What the collar can do about it, in turns; null where the engine says nothing of it. */
export function turnsWords(quantities: Finding["quantities"]): string | null {
  const needed = quantities["preload_turns_to_restore"];
  const free = quantities["preload_turns_free"];
  if (needed === undefined || typeof needed === "boolean") return null;
  const turns =
    typeof needed === "number" ? figure(needed) : `${figure(needed.low)} to ${figure(needed.high)}`;
  const left = typeof free === "number" ? `; ${figure(free)} are left on the thread` : "";
  return `${turns} turns of preload make up for set and weaker spring together${left}. Gas needs its own work.`;
}
