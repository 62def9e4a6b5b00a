import { beforeEach, expect, test } from "vitest";
import { Desk } from "../db/database.ts";
import { enqueueAll } from "../sync/again.ts";
import { takeIn } from "../sync/pull.ts";
import {
  blankDraft,
  draftOf,
  keepDraft,
  keepSignOff,
  signOffsOf,
  withPoint,
  type SignOff,
} from "./signOff.ts";

const I = "0190a0a0-0000-7000-8000-000000000001";
let desk: Desk;
beforeEach(async () => {
  desk = new Desk(crypto.randomUUID());
  await desk.open();
});
const said: Omit<SignOff, "id" | "signed_at"> = {
  inspection: I,
  signs: "customer",
  how: "drawn",
  name: "J. Varga",
  strokes: [
    [
      [1, 2],
      [30, 40],
    ],
  ],
  shown: { verdict: "Park it", sum: "10.00 USD", rulebook: "2026.1" },
  disagrees: "",
  declined: [],
  explained_by: "",
};

test("what is signed is kept and waits to be sent in one step, and the draft is gone", async () => {
  await keepDraft(desk, I, { ...blankDraft("Ada"), name: "J. V" });
  expect((await draftOf(desk, I))?.name).toBe("J. V");

  const kept = await keepSignOff(desk, said, new Date("2026-05-14T16:20:00Z"));

  expect(await signOffsOf(desk, I)).toEqual([kept]);
  const [row, ...others] = await desk.outbox.toArray();
  expect(others).toEqual([]);
  expect(row).toMatchObject({ kind: "sign_off", inspection: I, body: kept });
  expect(kept.signed_at).toBe("2026-05-14T16:20:00.000Z");
  expect(await draftOf(desk, I)).toBeNull();
});

test("a second signature never takes the place of the first", async () => {
  await keepSignOff(desk, said);
  await keepSignOff(desk, { ...said, signs: "shop", name: "S. Wrenfield" });
  expect((await signOffsOf(desk, I)).map((one) => one.name)).toEqual(["J. Varga", "S. Wrenfield"]);
  expect(await desk.outbox.count()).toBe(2);
});

test("one that comes from another phone is there, once", async () => {
  const body = { ...said, id: crypto.randomUUID(), signed_at: "2026-05-14T16:20:00Z" };
  const change = { position: 7, id: crypto.randomUUID(), kind: "sign_off", body, by: "Bo" };
  const answer = { results: [], changes: [change], cursor: 7, more: false };
  await takeIn(desk, answer, []);
  await takeIn(desk, answer, []);
  expect(await signOffsOf(desk, I)).toEqual([body]);
});

test("a server that lost it is sent it again", async () => {
  const kept = await keepSignOff(desk, said);
  await desk.outbox.clear();
  await enqueueAll(desk);
  expect((await desk.outbox.toArray()).map((row) => row.body)).toEqual([kept]);
});

test("points are whole, on the glass, and not nearer than the eye can tell", () => {
  expect(withPoint([], [-3, 400], 10)).toEqual([[0, 333]]);
  expect(withPoint([[10, 10]], [12.4, 11], 10)).toEqual([[10, 10]]);
  expect(withPoint([[10, 10]], [20.6, 10.2], 10)).toEqual([
    [10, 10],
    [21, 10],
  ]);
  expect(withPoint([[10, 10]], [90, 90], 0)).toEqual([[10, 10]]);
});
