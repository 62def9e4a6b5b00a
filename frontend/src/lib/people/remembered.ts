/* What the phone remembers of a person between inspections. Units are the phone's own. */
export const WHO = "inspect.who";
export const NAME = "inspect.name";
export const ROLE = "inspect.role";
export const UNITS = "inspect.units";

/** Said, else inches where the phone's language is set to a country that measures in them. */
export function phoneUnits(): "us" | "metric" {
  const said = globalThis.localStorage?.getItem(UNITS);
  if (said === "us" || said === "metric") return said;
  return /-(US|LR|MM)$/i.test(globalThis.navigator?.language ?? "") ? "us" : "metric";
}

/** Nothing of one person stands in the next one's set-up. */
export function forgetPerson(): void {
  for (const key of [WHO, NAME, ROLE]) localStorage.removeItem(key);
}
