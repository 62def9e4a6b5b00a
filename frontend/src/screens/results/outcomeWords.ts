/* Words of the outcome that stand in no document. Nothing is graded here. */
import type { Assessment, InspectionRecord } from "../../lib/documents.ts";
import { counted, firstUp, spoken } from "../../pictures/figures.ts";

export const VERDICT_WORDS: Record<Assessment["verdict"]["code"], string> = {
  ride: "Ride",
  ride_repair_planned: "Ride, repair planned",
  repair_before_hard_use: "Repair before hard use",
  park_it: "Park it",
  not_enough_seen: "Not enough seen",
};

const INTEREST: Record<string, string> = {
  buyer: "the buyer, who gains from a lower price",
  seller: "the seller, who gains from a higher price",
  yard: "the yard that owns the machine",
  renter: "the renter of the machine",
  shop: "a shop that may be paid for the repair",
  independent: "independent of buyer and seller",
};

/** Who looked and what they stand to gain: it belongs under every verdict. */
export function interest(record: InspectionRecord): string {
  const name = record.inspector?.name?.trim() || "someone who gave no name";
  const role = record.inspector?.role;
  if (role === undefined)
    return `Looked at by ${name}. As what was not said: buyer, seller or shop.`;
  return `Looked at by ${name}: ${INTEREST[role] ?? spoken(role)}.`;
}

/** A verdict code as the engine names it in `could_lead_to`. */
export function verdictWords(code: string): string {
  return (VERDICT_WORDS as Record<string, string>)[code] ?? firstUp(spoken(code));
}

/** "play_mm" -> "Play": the unit is printed with the number. */
export function measurandWords(measurand: string): string {
  return firstUp(spoken(withoutUnit(measurand)));
}

const UNITS: [RegExp, string][] = [
  [/_n_per_mm$/, "N/mm"],
  [/_mm_per_m$/, "mm/m"],
  [/_per_km$/, "per km"],
  [/_m_s$/, "m/s"],
  [/_percent$/, "%"],
  [/_mpa$/, "MPa"],
  [/_mm$/, "mm"],
  [/_ml$/, "ml"],
  [/_hz$/, "Hz"],
  [/_n$/, "N"],
];

/** Unit that a quantity's name ends in; "" for a ratio or a count. */
export function unitOf(quantity: string): string {
  return UNITS.find(([ending]) => ending.test(quantity))?.[1] ?? "";
}

function withoutUnit(quantity: string): string {
  const ending = UNITS.find(([one]) => one.test(quantity))?.[0];
  return ending === undefined ? quantity : quantity.replace(ending, "");
}

/** How the limits were set: rulebook, and whether a shop changed any. */
export function limitsWords(rulebook: Assessment["rulebook"]): string {
  const changed = rulebook.overrides.length;
  return `Rulebook ${rulebook.version}, ${changed === 0 ? "unchanged" : `${counted(changed, "limit")} changed`}`;
}

/** Stands wherever parts of the sum are shown beside it. */
export const AVERAGES_NOTE =
  "The sum is the middle of its span; that need not be the sum of the averages, and one average may be larger.";

const LOOKED_AT = "Looked at, not determined";

/** "20 checks not made, 15 looked at without a zone"; "" where there is neither. */
export function notMadeWords(unchecked: readonly { reason_text: string }[]): string {
  const lookedAt = unchecked.filter((one) => one.reason_text === LOOKED_AT).length;
  const notMade = unchecked.length - lookedAt;
  return [
    notMade > 0 && `${counted(notMade, "check")} not made`,
    lookedAt > 0 && `${lookedAt} looked at without a zone`,
  ]
    .filter(Boolean)
    .join(", ");
}

/** Whose prices they are; invented ones say so wherever a sum stands. */
export function pricesWords(money: Assessment["money"]): string {
  return money.invented
    ? `${money.currency}. Sample prices, until the shop's own: not a quotation.`
    : `${money.currency}. Price book: ${money.price_book}.`;
}
