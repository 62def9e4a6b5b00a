/* Ids are made on the phone, so a change sent twice is known to be one. */

/** UUIDv7 (RFC 9562 §5.7): 48 bits of Unix milliseconds, then random bits. */
export function uuid7(now_ms: number = Date.now()): string {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  let rest = Math.floor(now_ms);
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
