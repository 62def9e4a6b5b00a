import { expect, test } from "vitest";
import { madeGuide } from "../guide/made.fixture.ts";
import { fromPhotos, knownWidths } from "./knownWidths.ts";

const guide = madeGuide({ machine: { kind: "quad" } });
const PLACE = { checkpoint: "shaft_surface", at: "front_left", part: null };
const row = (currency: string, more: Record<string, unknown> = {}) => ({
  header: { assemblies: [{ at: "front_left", ...more }] },
  setup: { currency },
});

test("the shaft first, then the wire, then coins of the chosen currency", () => {
  const known = knownWidths(
    {
      guide,
      row: row("EUR", {
        shaft: { diameter: { value: "7/8", unit: "in", u: "0.001" } },
        springs: [{ wire: "12 mm" }],
      }),
    },
    PLACE,
  );
  expect(known.slice(0, 2)).toEqual([
    { id: "shaft", text: "The shaft, 7/8 in", known: { value: "7/8", unit: "in", u: "0.001" } },
    { id: "wire 0", text: "The coil's wire, 12 mm", known: "12 mm" },
  ]);
  expect(known.slice(2).map((one) => one.text)).toContain("Coin: 1 euro, 23.25 mm");
  expect(known.some((one) => one.text.includes("25 cents"))).toBe(false);
});

test("nothing known and a currency without coins: nothing is offered, it can be typed", () => {
  expect(knownWidths({ guide, row: row("JPY") }, PLACE)).toEqual([]);
  expect(knownWidths({ guide, row: { ...row("JPY"), header: null } }, PLACE)).toEqual([]);
});

test("what lies in one plane can be read in a picture, a depth cannot", () => {
  const keys = (id: string) => {
    const { readings, marks } = guide.checkpoints[id]!;
    return fromPhotos([...readings, ...(marks?.readings ?? [])]).map((one) => one.key);
  };
  expect(keys("shaft_surface")).toEqual(["from_seal", "length"]);
  expect(keys("coil_contact")).toEqual(["flat_width"]);
  expect(keys("bearing_play")).toEqual([]);
});
