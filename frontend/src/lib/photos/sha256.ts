/* SHA-256 as hex. The browser's own is only there on a secure origin; a phone that opens the
   workshop's address over plain http needs the other (FIPS 180-4 §6.2). */

export async function sha256Hex(bytes: ArrayBuffer): Promise<string> {
  const subtle = globalThis.crypto?.subtle as SubtleCrypto | undefined;
  return hex(
    subtle
      ? new Uint8Array(await subtle.digest("SHA-256", bytes))
      : sha256Plain(new Uint8Array(bytes)),
  );
}

export function sha256Plain(message: Uint8Array): Uint8Array {
  const { k, h } = constants();
  const padded = new Uint8Array((((message.length + 8) >> 6) + 1) << 6);
  padded.set(message);
  padded[message.length] = 0x80;
  const view = new DataView(padded.buffer);
  view.setUint32(padded.length - 8, Math.floor(message.length / 0x20000000));
  view.setUint32(padded.length - 4, (message.length << 3) >>> 0);
  const w = new Uint32Array(64);
  for (let block = 0; block < padded.length; block += 64) {
    for (let i = 0; i < 16; i++) w[i] = view.getUint32(block + i * 4);
    for (let i = 16; i < 64; i++)
      w[i] = w[i - 16]! + small(w[i - 15]!, 7, 18, 3) + w[i - 7]! + small(w[i - 2]!, 17, 19, 10);
    compress(h, k, w);
  }
  const out = new DataView(new ArrayBuffer(32));
  h.forEach((word, i) => out.setUint32(i * 4, word));
  return new Uint8Array(out.buffer);
}

const turn = (x: number, by: number) => (x >>> by) | (x << (32 - by));
const small = (x: number, a: number, b: number, c: number) => turn(x, a) ^ turn(x, b) ^ (x >>> c);
const big = (x: number, a: number, b: number, c: number) => turn(x, a) ^ turn(x, b) ^ turn(x, c);

function compress(state: Uint32Array, k: Uint32Array, w: Uint32Array): void {
  let [a, b, c, d, e, f, g, h] = state as unknown as [
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  for (let i = 0; i < 64; i++) {
    const t1 = (h + big(e, 6, 11, 25) + ((e & f) ^ (~e & g)) + k[i]! + w[i]!) | 0;
    const t2 = (big(a, 2, 13, 22) + ((a & b) ^ (a & c) ^ (b & c))) | 0;
    [h, g, f, e, d, c, b, a] = [g, f, e, (d + t1) | 0, c, b, a, (t1 + t2) | 0];
  }
  [a, b, c, d, e, f, g, h].forEach((word, i) => (state[i] = state[i]! + word));
}

/** First 32 bits of the fractional parts of cube and square roots of the first primes. */
function constants(): { k: Uint32Array; h: Uint32Array } {
  const primes: number[] = [];
  for (let n = 2; primes.length < 64; n++) if (primes.every((p) => n % p)) primes.push(n);
  const part = (root: number) => ((root - Math.floor(root)) * 2 ** 32) >>> 0;
  return {
    k: Uint32Array.from(primes, (p) => part(Math.cbrt(p))),
    h: Uint32Array.from(primes.slice(0, 8), (p) => part(Math.sqrt(p))),
  };
}

function hex(bytes: Uint8Array): string {
  return Array.from(bytes, (b) => b.toString(16).padStart(2, "0")).join("");
}

/** The same digest as an RFC 9530 Content-Digest field. */
export function contentDigest(sha256: string): string {
  const bytes = sha256.match(/../g)!.map((pair) => String.fromCharCode(parseInt(pair, 16)));
  return `sha-256=:${btoa(bytes.join(""))}:`;
}
