/* What the phone remembers of a person between inspections. Units are the phone's own. */
export const WHO = "inspect.who";
export const NAME = "inspect.name";

/** Nothing of one person stands in the next one's set-up. */
export function forgetPerson(): void {
  for (const key of [WHO, NAME]) localStorage.removeItem(key);
}
