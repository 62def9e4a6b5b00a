/* A grade that answers have been given since: nothing in it may reassure. */

/** What a new grade is being waited for. */
export type Waits = "asking" | "no_signal" | "signed_out" | "refused";

export interface Stale {
  why: Waits;
  /** "14:22", where a signal is awaited. */
  since: string | null;
  /** Where to sign in, when that is what is missing. */
  signIn: string | null;
  /** What the phone itself knows to forbid riding; null where nothing does. */
  danger: { title: string; lines: string[] } | null;
}

export function waitsWords({ why, since }: Pick<Stale, "why" | "since">): string {
  if (why === "no_signal")
    return `The new one waits for a signal${since === null ? "" : `, since ${since}`}.`;
  if (why === "signed_out") return "The new one waits for a sign-in.";
  if (why === "refused") return "One answer cannot be graded as it is.";
  return "A new one is on its way.";
}
