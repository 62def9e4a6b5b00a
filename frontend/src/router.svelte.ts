/* The place one is at lives in the address, so the phone's back button steps back and a reload
   keeps the place. #/i/<inspection>/step/<step> */

function parse(hash: string): string[] {
  return hash.replace(/^#\/?/, "").split("/").filter(Boolean).map(decodeURIComponent);
}

export function hashOf(...parts: string[]): string {
  return `#/${parts.map(encodeURIComponent).join("/")}`;
}

class Router {
  /** Has one gone from one place to another since the page was loaded? */
  moved = false;
  parts = $state.raw<string[]>(parse(location.hash));

  constructor() {
    window.addEventListener("popstate", () => this.#read());
    window.addEventListener("hashchange", () => this.#read());
  }

  #read(): void {
    this.moved = true;
    this.parts = parse(location.hash);
  }

  go(hash: string): void {
    if (hash === location.hash) return;
    history.pushState({ from: location.hash }, "", hash);
    this.#read();
  }

  replace(hash: string): void {
    history.replaceState(history.state, "", hash);
    this.#read();
  }

  /** A step back on the screen is the same as the phone's own back button where that leads there. */
  back(hash: string): void {
    const from = (history.state as { from?: string } | null)?.from;
    if (from === hash) history.back();
    else this.replace(hash);
  }
}

export const router = new Router();
