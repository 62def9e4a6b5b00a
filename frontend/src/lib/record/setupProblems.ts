/* What of the set-up cannot be taken as it was typed. Nothing typed is dropped: it is named, and
   stays where it stands until it is put right. */
import type { SetupDraft } from "../db/rows.ts";
import { A_DISTANCE, AN_AMOUNT, type Rule } from "../typed/allowed.ts";
import { readMoney } from "../typed/money.ts";
import { isBlank, readTyped } from "../typed/quantity.ts";
import { readYear, WRITE_THE_YEAR } from "../typed/year.ts";

/** What the server keeps of each, in characters. */
export const LONGEST_LABEL = 120;
export const LONGEST_NUMBER = 60;

export interface SetupProblem {
  name: string;
  why: string;
}

/** In the order of the screen. */
export function setupProblems(setup: SetupDraft): SetupProblem[] {
  const since = !setup.since_unknown;
  return [
    amount("Distance on the clock", setup.distance, setup.distance_unit, A_DISTANCE),
    since &&
      amount("Distance since the service", setup.since_distance, setup.since_unit, A_DISTANCE),
    since && amount("Seasons since the service", setup.since_seasons, "1", AN_AMOUNT),
    setup.purpose === "purchase" && price(setup.price, setup.currency),
    tooLong("What to call it", setup.label, LONGEST_LABEL),
    tooLong("Identification number", setup.identification_number, LONGEST_NUMBER),
    !isBlank(setup.model_year) &&
      readYear(setup.model_year) === null && { name: "Model year", why: WRITE_THE_YEAR },
  ].filter((one) => one !== null && one !== false);
}

function amount(name: string, text: string, unit: string, rule: Rule): SetupProblem | null {
  const read = isBlank(text) ? null : readTyped(text, unit, rule);
  return read && !read.ok ? { name, why: read.why } : null;
}

function price(text: string, currency: string): SetupProblem | null {
  const read = isBlank(text) ? null : readMoney(text, currency);
  return read && !read.ok ? { name: "Asking price", why: read.why } : null;
}

function tooLong(name: string, text: string, longest: number): SetupProblem | null {
  const why = `At most ${longest} characters`;
  return [...text.trim()].length > longest ? { name, why } : null;
}
