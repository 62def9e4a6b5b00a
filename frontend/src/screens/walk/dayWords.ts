/** "14 May 2026", where the phone is. */
export function dayWords(iso: string): string {
  return new Date(iso).toLocaleDateString("en-GB", { dateStyle: "long" });
}
