import Dexie from "dexie";
import { afterEach, beforeEach, expect, test } from "vitest";
import { Desk } from "../db/database.ts";
import type { GuideCheckpoint } from "../documents.ts";
import { uuid7 } from "../ids.ts";
import { keepPhoto } from "../photos/keep.ts";
import { closeInspection } from "./close.ts";
import { EMPTY_DRAFT } from "./draft.ts";
import { beginInspection, keepDraft, keepSetup, type Keeping } from "./keep.ts";
import { emptySetup } from "./setup.ts";

const SEAL = {
  id: "shaft_seal",
  any_of: false,
  marks: null,
  words: [{ word: "dry" }],
  readings: [],
} as unknown as GuideCheckpoint;
const SETUP = {
  ...emptySetup(new Date(2026, 4, 14), { units: "us", name: "", role: null, purpose: null }),
  kind: "quad",
};
const DRY = { ...EMPTY_DRAFT, seen: ["dry"] };
const NOON = new Date("2026-05-14T12:00:00Z");

let desk: Desk;
let id: string;
beforeEach(async () => {
  desk = new Desk(uuid7());
  id = await beginInspection(desk, SETUP);
  await keepSetup(desk, id, SETUP);
});
afterEach(async () => {
  desk.close();
  await Dexie.delete(desk.name);
});
const at = (place: string): Keeping => ({
  desk,
  inspection: id,
  place: { checkpoint: "shaft_seal", at: place, part: null },
  checkpoint: SEAL,
});
const closings = async () => (await desk.outbox.toArray()).filter((row) => row.kind === "close");

test("closing lists every answer and picture this phone knows, once", async () => {
  const picture = new File([new Uint8Array([255, 216, 255])], "image.jpg", { type: "image/jpeg" });
  await keepPhoto(at("front_left"), DRY, picture, "camera");
  await keepDraft(at("rear_left"), DRY);
  await closeInspection(desk, id, NOON);
  await closeInspection(desk, id);
  const [close, ...more] = await closings();
  expect(more).toEqual([]);
  expect((await desk.inspections.get(id))?.closed_at).toBe("2026-05-14T12:00:00.000Z");
  expect(close?.body).toMatchObject({ inspection: id, closed_at: "2026-05-14T12:00:00.000Z" });
  const known = (await desk.revisions.toArray()).map((row) => row.id);
  expect(known).toHaveLength(2);
  expect(close?.body["observations"]).toEqual(known);
  // printf '\377\330\377' | sha256sum
  expect(close?.body["photos"]).toEqual([
    "6e568e1f67fba258184c78181539e5e8fdee447e49bb706fc0ea34fbf12336a5",
  ]);
});

test("what the server refused is not waited for", async () => {
  await keepDraft(at("front_left"), DRY);
  await desk.outbox.where("subject").startsWith("revision:").modify({ state: "refused" });
  await keepDraft(at("rear_left"), DRY);
  await closeInspection(desk, id, NOON);
  const [close] = await closings();
  const kept = (await desk.revisions.toArray()).find((row) => row.at === "rear_left");
  expect(close?.body["observations"]).toEqual([kept?.id]);
});

test("a closed inspection takes no answer and no other set-up", async () => {
  await closeInspection(desk, id, NOON);
  const before = await desk.outbox.count();
  await keepDraft(at("front_left"), DRY);
  await keepSetup(desk, id, { ...SETUP, kind: "buggy" });
  expect(await desk.outbox.count()).toBe(before);
  expect(await desk.revisions.count()).toBe(0);
  expect((await desk.inspections.get(id))?.header?.machine.kind).toBe("quad");
});
