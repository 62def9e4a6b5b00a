import { expect, test } from "vitest";
import type { PhotoMark } from "../documents.ts";
import { called, drawnWords, handlesOf, letters, moved, newMark, worthKeeping } from "./drawing.ts";

const RING: PhotoMark = { kind: "ring", x: 0.2, y: 0.5, r: 0.1 };
const ARROW: PhotoMark = { kind: "arrow", x: 0.1, y: 0.1, to_x: 0.4, to_y: 0.5, text: "seam" };
const NOTE: PhotoMark = { kind: "note", x: 0.9, y: 0.9, text: "wet" };
const TALL = 2; // twice as high as wide

test("the edge of a ring is dragged in the picture's own measure, not the screen's", () => {
  // 3 tenths across, 2 tenths down of a picture twice as high: 3-4-5.
  expect(moved(RING, "edge", { x: 0.5, y: 0.7 }, TALL)).toEqual({ ...RING, r: 0.5 });
  expect(moved(RING, "edge", { x: 0.2, y: 0.5 }, TALL)).toMatchObject({ r: 0.005 });
});

test("nothing is moved out of the picture, and the edge of any ring can be reached", () => {
  expect(moved(RING, "whole", { x: -1, y: 3 }, TALL)).toMatchObject({ x: 0, y: 1, r: 0.1 });
  for (const x of [0, 0.3, 0.5, 0.7, 1])
    for (const handle of handlesOf({ kind: "ring", x, y: 0.5, r: 0.5 })) {
      expect(handle.x).toBeGreaterThanOrEqual(0);
      expect(handle.x).toBeLessThanOrEqual(1);
    }
});

test("an arrow points where it was put, its tail in the picture", () => {
  for (const at of [
    { x: 0, y: 0 },
    { x: 1, y: 1 },
    { x: 0.5, y: 0.2 },
  ]) {
    const arrow = newMark("arrow", at, 0.2) as Extract<PhotoMark, { kind: "arrow" }>;
    expect([arrow.to_x, arrow.to_y]).toEqual([at.x, at.y]);
    for (const share of [arrow.x, arrow.y]) expect(share).toBeGreaterThanOrEqual(0);
    for (const share of [arrow.x, arrow.y]) expect(share).toBeLessThanOrEqual(1);
  }
  expect(moved(ARROW, "point", { x: 0.6, y: 0.6 }, TALL)).toEqual({
    ...ARROW,
    to_x: 0.6,
    to_y: 0.6,
  });
  expect(moved(ARROW, "tail", { x: 0.6, y: 0.6 }, TALL)).toEqual({ ...ARROW, x: 0.6, y: 0.6 });
});

test("a note that says nothing is not kept; what is said loses its edges only", () => {
  expect(worthKeeping([RING, { ...NOTE, text: "  " }, { ...NOTE, text: " wet " }])).toEqual([
    RING,
    NOTE,
  ]);
});

test("letters, names and words", () => {
  expect(letters([RING, ARROW, NOTE])).toEqual([null, "a", "b"]);
  expect(letters(Array<PhotoMark>(28).fill(NOTE)).slice(25)).toEqual(["z", "aa", "ab"]);
  expect(called([RING, ARROW, RING], 2)).toBe("Ring 2");
  expect(drawnWords([RING, RING, ARROW, NOTE])).toBe("2 rings, 1 arrow; a: seam; b: wet");
  expect(drawnWords([])).toBe("");
});

test("a length has its own ends and those of what is known, each moved alone", () => {
  const length = newMark("length", { x: 0.5, y: 0.5 }, 0.2);
  expect(handlesOf(length).map(({ name, x, y }) => [name, x, y])).toEqual([
    ["known", 0.3, 0.6],
    ["known_to", 0.7, 0.6],
    ["tail", 0.3, 0.4],
    ["point", 0.7, 0.4],
  ]);
  for (const { name } of handlesOf(length)) {
    expect(moved({ ...length, text: "4.2 mm" }, name, { x: 0, y: 0 }, TALL)).not.toHaveProperty(
      "text",
    );
    const after = moved(length, name, { x: 0.1, y: 0.9 }, TALL);
    for (const handle of handlesOf(after)) {
      const before = handlesOf(length).find((one) => one.name === handle.name)!;
      expect([handle.x, handle.y]).toEqual(
        handle.name === name ? [0.1, 0.9] : [before.x, before.y],
      );
    }
  }
});
