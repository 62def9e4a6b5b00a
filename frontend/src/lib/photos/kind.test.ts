import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { isPicture } from "./kind.ts";

const cases = new URL("../../../../tests/photos/cases/", import.meta.url);
const head = (name: string) => new Uint8Array(readFileSync(new URL(name, cases)).subarray(0, 16));

test.each([
  "exif_o1.jpg",
  "rgba.png",
  "anim.gif",
  "gps.webp",
  "heic_named_jpg.jpg",
  "heic_o1.heic",
  "plain.avif",
])("%s begins like a picture", (name) => expect(isPicture(head(name))).toBe(true));

test.each([
  "text_named_jpg.jpg",
  "pdf_named_jpg.jpg",
  "mz_named_jpg.jpg",
  "svg_named_png.png",
  "zero.jpg",
])("%s does not", (name) => expect(isPicture(head(name))).toBe(false));
