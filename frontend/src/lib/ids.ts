/* Ids are made on the phone, so a change sent twice is known to be one. */

const LAST = "inspect.last_id_ms";
const kept = globalThis.localStorage as Storage | undefined; // not in a worker
let last_ms = 0;

/** The clock, but always past the last time: by the ids the server tells what this phone wrote last, also
 *  where the clock was set back in between. */
function later_ms(): number {
  last_ms = Math.max(Date.now(), last_ms + 1, Number(kept?.getItem(LAST) ?? 0) + 1);
  kept?.setItem(LAST, String(last_ms));
  return last_ms;
}

/** UUIDv7 (RFC 9562 §5.7): 48 bits of Unix milliseconds, then random bits. One made later is greater. */
export function uuid7(at_ms: number = later_ms()): string {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  let rest = Math.floor(at_ms);
  for (let i = 5; i >= 0; i--) {
    bytes[i] = rest % 256;
    rest = Math.floor(rest / 256);
  }
  bytes[6] = 0x70 | (bytes[6]! & 0x0f);
  bytes[8] = 0x80 | (bytes[8]! & 0x3f);
  const hex = Array.from(bytes, (b) => b.toString(16).padStart(2, "0")).join("");
  return [
    hex.slice(0, 8),
    hex.slice(8, 12),
    hex.slice(12, 16),
    hex.slice(16, 20),
    hex.slice(20),
  ].join("-");
}
