import { createHash } from "node:crypto";
import { expect, test } from "vitest";
import { contentDigest, sha256Hex, sha256Plain } from "./sha256.ts";

// FIPS 180-4's own examples, and node's library for lengths around a block.
const hex = (bytes: Uint8Array) => Buffer.from(bytes).toString("hex");
const text = (words: string) => new TextEncoder().encode(words);

test("the standard's examples", () => {
  expect(hex(sha256Plain(text("abc")))).toBe(
    "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad",
  );
  expect(hex(sha256Plain(text("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq")))).toBe(
    "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
  );
});

test.each([0, 1, 55, 56, 63, 64, 65, 119, 128, 1000])(
  "%d bytes agree with another library",
  async (length) => {
    const bytes = Uint8Array.from({ length }, (_, i) => (i * 37) % 256);
    const expected = createHash("sha256").update(bytes).digest("hex");
    expect(hex(sha256Plain(bytes))).toBe(expected);
    expect(await sha256Hex(bytes.buffer)).toBe(expected);
  },
);

test("the Content-Digest field is RFC 9530's", () => {
  // RFC 9530, section 2: {"hello": "world"}
  const digest = createHash("sha256").update('{"hello": "world"}\n').digest();
  expect(contentDigest(digest.toString("hex"))).toBe(`sha-256=:${digest.toString("base64")}:`);
});
