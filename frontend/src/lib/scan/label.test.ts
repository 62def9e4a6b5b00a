import { expect, test, vi } from "vitest";
import { codesIn, numbersIn } from "./label.ts";

// The example number of tests/outside/test_identification_numbers.py.
const NUMBER = "1M8GDM9AXKP042788";

test.each([
  [[NUMBER], [NUMBER]],
  [[NUMBER.toLowerCase()], [NUMBER]],
  [[`I${NUMBER}`], [NUMBER]], // the sign of an import before it
  [[`https://example.org/m/${NUMBER}?lot=7`], [NUMBER]],
  [
    ["UNIT 7", NUMBER],
    [NUMBER, "UNIT 7"],
  ],
  [[NUMBER, NUMBER], [NUMBER]],
  [[`A${NUMBER}7`], [`A${NUMBER}7`]], // part of something longer: no such number
  [["ABCDEFGHJKLMNPRST"], ["ABCDEFGHJKLMNPRST"]],
  [["  "], []],
  [["x".repeat(61)], []],
])("%j", (codes, numbers) => expect(numbersIn(codes)).toEqual(numbers));

test("a reader that is there by name only says nothing instead of failing", async () => {
  class Named {
    static getSupportedFormats = () => Promise.resolve(["qr_code"]);
    detect = () => Promise.reject(new DOMException("Barcode detection service unavailable."));
  }
  const close = vi.fn();
  vi.stubGlobal("createImageBitmap", () => Promise.resolve({ close }));
  expect(await codesIn(new Blob(), Named)).toBeNull();
  expect(close).toHaveBeenCalledOnce();
  class Formatless extends Named {
    static override getSupportedFormats = () => Promise.resolve<string[]>([]);
  }
  expect(await codesIn(new Blob(), Formatless)).toBeNull();
  vi.unstubAllGlobals();
});
