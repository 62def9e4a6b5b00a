/* One polite live region for the whole app. */
class Spoken {
  text = $state("");
  say(text: string): void {
    // The same sentence twice must be heard twice: a trailing space makes it new.
    this.text = this.text === text ? `${text}\u00a0` : text;
  }
}
export const spoken = new Spoken();
