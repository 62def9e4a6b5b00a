import { expect, test } from "vitest";
import {
  drawingAtHand,
  loadDrawing,
  paperOf,
  partsOf,
  planOf,
  wheelPlaces,
  withParts,
} from "./drawings.ts";

test("a drawing is fetched by its name and then at hand", async () => {
  expect(drawingAtHand("bearing_play.how")).toBeUndefined();
  const svg = await loadDrawing("bearing_play.how");
  expect(svg).toMatch(/^<svg /);
  expect(drawingAtHand("bearing_play.how")).toBe(svg);
});

test("a name nobody drew gives nothing, not another drawing", async () => {
  expect(await loadDrawing("bearing_play.no_such_word")).toBeNull();
});

test("no drawing carries an id or a style that could clash or be refused by the page's policy", async () => {
  const sheets = [
    (await import("./sheet-maps.ts")).default,
    (await import("./sheet-steps.ts")).default,
  ];
  const all = sheets.flatMap((sheet) => Object.values(sheet));
  expect(all.length).toBeGreaterThan(150);
  for (const svg of all) expect(svg).not.toMatch(/\s(id|style)=|<style|<script/);
});

test("every damper map shows shaft, seal, body and both bearings", async () => {
  for (const kind of ["coilover", "internal_bypass", "external_bypass", "plain", "air"]) {
    const svg = (await loadDrawing(`damper_${kind}`)) ?? "";
    const checks = partsOf(svg).flatMap((part) => part.checkpoints);
    for (const needed of ["shaft_surface", "shaft_seal", "body_wall", "bearing_play"]) {
      expect(checks, kind).toContain(needed);
    }
  }
});

test("the map of a fork shows its tubes and seals, and nothing that it has not", async () => {
  const svg = (await loadDrawing("damper_telescopic_fork")) ?? "";
  const checks = partsOf(svg).flatMap((part) => part.checkpoints);
  expect(checks).toEqual(expect.arrayContaining(["shaft_surface", "shaft_seal", "mounting"]));
  for (const none of ["bearing_play", "coil_contact", "body_wall"])
    expect(checks).not.toContain(none);
});

test("a part drawn behind and before the damper gets its look on both layers, and no other part does", async () => {
  const svg = (await loadDrawing("damper_coilover")) ?? "";
  const marked = withParts(
    svg,
    new Map([["long_spring", { className: "part worn", paint: "url(#h-c)" }]]),
  );
  expect(marked.match(/class="part worn"/g)).toHaveLength(2);
  expect(marked).toContain('stroke="url(#h-c)"');
  expect(marked).toMatch(/data-part="body"[^>]*><path[^>]*fill="var\(--fill,Canvas\)"/);
});

test("every machine shows a wheel at each of its places, and takes that place's hatch", async () => {
  for (const kind of ["two_seat", "four_seat", "quad", "truck"]) {
    const svg = (await loadDrawing(`machine_${kind}`)) ?? "";
    expect(wheelPlaces(svg).sort()).toEqual([
      "front_left",
      "front_right",
      "rear_left",
      "rear_right",
    ]);
    const plan =
      planOf(svg, new Map([["rear_left", { className: "part", paint: "url(#h-d)" }]])) ?? "";
    expect(plan.match(/url\(#h-d\)/g)).toHaveLength(1);
    expect(plan).not.toContain('data-view="side"');
  }
  expect(wheelPlaces((await loadDrawing("machine_bike")) ?? "")).toEqual(["front", "rear"]);
});

test("the paper is known from the name before the drawing has come", () => {
  expect(["damper_air", "machine_quad", "caution_hot_parts"].map(paperOf)).toEqual([
    "damper",
    "machine",
    "step",
  ]);
});
