/* A ZIP file of entries stored as they are (APPNOTE.TXT 6.3.10, §4.3): photos do not get smaller. */

export interface Entry {
  name: string;
  bytes: ArrayBuffer;
}

const LOCAL = 0x04034b50;
const CENTRAL = 0x02014b50;
const END = 0x06054b50;
const UTF8_NAME = 0x0800;
const NEEDS_VERSION = 20;
const FIRST_DAY = 0x21; // 1980-01-01: when a picture was taken stands in the record

/** Entries of at most 4 GB together: without the 64-bit extension a ZIP holds no more. */
export function zipOf(entries: readonly Entry[]): Blob {
  const parts: BlobPart[] = [];
  const directory: Uint8Array<ArrayBuffer>[] = [];
  let offset = 0;
  for (const { name, bytes } of entries) {
    const called = new TextEncoder().encode(name);
    const common = [
      u16(UTF8_NAME, 0, 0, FIRST_DAY),
      u32(crc32(new Uint8Array(bytes)), bytes.byteLength, bytes.byteLength),
      u16(called.length, 0),
    ];
    const local = joined([u32(LOCAL), u16(NEEDS_VERSION), ...common, called]);
    parts.push(local, bytes);
    directory.push(
      joined([u32(CENTRAL), u16(NEEDS_VERSION, NEEDS_VERSION), ...common]),
      joined([u16(0, 0, 0), u32(0, offset), called]),
    );
    offset += local.length + bytes.byteLength;
  }
  const central = joined(directory);
  const count = entries.length;
  const end = joined([u32(END), u16(0, 0, count, count), u32(central.length, offset), u16(0)]);
  return new Blob([...parts, central, end], { type: "application/zip" });
}

function u16(...numbers: number[]): Uint8Array<ArrayBuffer> {
  return new Uint8Array(numbers.flatMap((n) => [n & 255, (n >>> 8) & 255]));
}
function u32(...numbers: number[]): Uint8Array<ArrayBuffer> {
  return u16(...numbers.flatMap((n) => [n & 0xffff, n >>> 16]));
}
function joined(parts: Uint8Array[]): Uint8Array<ArrayBuffer> {
  const whole = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}

const TABLE = Uint32Array.from({ length: 256 }, (_none, n) => {
  let c = n;
  for (let bit = 0; bit < 8; bit++) c = c & 1 ? 0xedb88320 ^ (c >>> 1) : c >>> 1;
  return c;
});

/** CRC-32 as in ISO 3309; the check value of "123456789" is CBF43926. */
export function crc32(bytes: Uint8Array): number {
  let c = 0xffffffff;
  for (const byte of bytes) c = TABLE[(c ^ byte) & 255]! ^ (c >>> 8);
  return (c ^ 0xffffffff) >>> 0;
}
