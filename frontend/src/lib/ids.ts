/* Ids are made on the phone, so a change sent twice is known to be one. */

const LAST = "inspect.last_id_ms";
const kept = globalThis.localStorage as Storage | undefined; // not in a worker
let last_ms = 0;

/** UUIDv7 (RFC 9562 §5.7): 48 bits of Unix milliseconds, then random bits. One made later is greater,
 *  even where the clock was set back in between: by it the server tells what this phone wrote last. */
export function uuid7(now_ms: number = Date.now()): string {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  last_ms = Math.max(Math.floor(now_ms), last_ms + 1, Number(kept?.getItem(LAST) ?? 0) + 1);
  kept?.setItem(LAST, String(last_ms));
  let rest = last_ms;
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
