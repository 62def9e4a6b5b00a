import { expect, test } from "vitest";
import type { Assessment, InspectionRecord, Zone } from "../lib/documents.ts";
import { axleDrawing, axlesOf, heightsKnown } from "./heights.ts";

const finding = (at: string, loss: number, height: number | null, zone: Zone) => ({
  checkpoint: "ride_height",
  at,
  place: at.replace("_", " "),
  zone,
  as_seen: "12 in",
  quantities: { height_loss_mm: loss, ...(height === null ? {} : { height_mm: height }) },
});
const of = (findings: object[]) =>
  axlesOf(
    { findings } as unknown as Assessment,
    {
      observations: [
        {
          checkpoint: "ride_height",
          at: "front_left",
          status: "checked",
          readings: { height: { value: "14 3/8", unit: "in" } },
        },
      ],
    } as unknown as InspectionRecord,
  );

test("corners are paired by axle, left first, with the figures as they were written", () => {
  const axles = of([
    finding("front_right", 19, 387, "B"),
    finding("front_left", 41, 365, "C"),
    finding("rear_left", 5, 380, "A"),
  ]);
  expect(axles.map(({ name }) => name)).toEqual(["Front axle", "Rear left"]);
  expect(axles[0]?.sides.map(({ at }) => at)).toEqual(["front_left", "front_right"]);
  expect(axles[0]?.sides[0]?.written).toBe("14 3/8\u00a0in");
});

test("a motorcycle's two ends are two pictures", () => {
  expect(
    of([finding("front", 4, 300, "A"), finding("rear", 9, 310, "A")]).map(({ name }) => name),
  ).toEqual(["Front", "Rear"]);
});

test("a corner that stands at or above its height has nothing hatched", () => {
  const axles = of([finding("front_left", 41, 365, "C"), finding("front_right", -4, 410, "A")]);
  const drawing = axleDrawing(axles[0]!, axles);
  expect(drawing.lost.map(({ zone }) => zone)).toEqual(["C"]);
});

test("one scale for all axles: the corner that stands higher is drawn higher", () => {
  const axles = of([
    finding("front_left", 0, 300, "A"),
    finding("front_right", 0, 300, "A"),
    finding("rear_left", 0, 400, "A"),
    finding("rear_right", 0, 400, "A"),
  ]);
  const sill = (i: number) =>
    Number(/^M112 ([\d.]+)L/.exec(axleDrawing(axles[i]!, axles).body)?.[1]);
  expect((132 - sill(0)) / (132 - sill(1))).toBeCloseTo(0.75, 2);
});

test("without heights nobody is told that heights are to scale", () => {
  expect(heightsKnown(of([finding("front_left", 41, null, "C")]))).toBe(false);
});
