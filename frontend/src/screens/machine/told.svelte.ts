import { live } from "../../live.svelte.ts";
import { phone } from "../../phone.svelte.ts";
import { askAndKeep, keptAs, type Missing, type Told } from "./fromServer.ts";

interface Asked {
  path: string;
  key: string;
  format: string;
}

/** A document of the server's: what is kept of it at once, and anew whenever something else is asked for
 *  or the signal comes back. `make` gives null while there is nothing to ask. */
export function told<T>(make: () => Asked | null) {
  const kept = live(() => {
    const [desk, asked] = [phone.desk, make()];
    return async () => ({
      key: asked?.key,
      told: asked && (await keptAs<T>(desk, asked.key)),
    });
  });
  let missing = $state.raw<Missing | null>(null);
  let asking = $state(false);

  $effect(() => {
    const asked = make();
    if (asked === null) return;
    let gone = false;
    const ask = async () => {
      asking = true;
      const answer = await askAndKeep(phone.desk, phone.server, asked);
      if (!gone) [missing, asking] = [answer, false];
    };
    void ask();
    const again = () => void ask();
    window.addEventListener("online", again);
    return () => {
      gone = true;
      window.removeEventListener("online", again);
    };
  });
  return {
    get told(): Told<T> | null {
      return kept.now?.key === make()?.key ? (kept.now?.told ?? null) : null;
    },
    get missing() {
      return missing;
    },
    get asking() {
      return asking;
    },
  };
}
