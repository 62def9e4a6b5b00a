/* Whether bytes begin like a picture. The server decodes and decides; this only says at once what can
   never be one, before it is kept and sent. */

const BEGINNINGS: number[][] = [
  [0xff, 0xd8, 0xff], // JPEG
  [0x89, 0x50, 0x4e, 0x47], // PNG
  [0x47, 0x49, 0x46, 0x38], // GIF
];

function textAt(head: Uint8Array, from: number, length: number): string {
  return String.fromCharCode(...head.subarray(from, from + length));
}

/** `head`: at least the first 12 bytes of the file, whatever its name says. */
export function isPicture(head: Uint8Array): boolean {
  if (BEGINNINGS.some((bytes) => bytes.every((byte, i) => head[i] === byte))) return true;
  if (textAt(head, 0, 4) === "RIFF" && textAt(head, 8, 4) === "WEBP") return true;
  // HEIC and AVIF: an ISO media file whose brand names a still picture.
  return textAt(head, 4, 4) === "ftyp" && /^(hei|hev|mif|msf|avi)/.test(textAt(head, 8, 4));
}
