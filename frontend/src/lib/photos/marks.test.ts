import Dexie from "dexie";
import { afterEach, beforeEach, expect, test } from "vitest";
import { Desk } from "../db/database.ts";
import type { PhotoMarksRow } from "../db/rows.ts";
import type { PhotoMark } from "../documents.ts";
import { uuid7 } from "../ids.ts";
import { enqueueAll } from "../sync/again.ts";
import { takeIn } from "../sync/pull.ts";
import { keepMarks, marksAt, type PhotoUse } from "./marks.ts";

const RING: PhotoMark = { kind: "ring", x: 0.4, y: 0.3, r: 0.1 };
const NOTE: PhotoMark = { kind: "note", x: 0, y: 1, text: "wet here" };
const ARROW: PhotoMark = { kind: "arrow", x: 0.9, y: 0.9, to_x: 0.5, to_y: 0.4 };
const USE: PhotoUse = {
  inspection: "i",
  place: { checkpoint: "shaft_seal", at: "front_left", part: null },
  sha256: "ab".repeat(32),
};
const STEP = "shaft_seal@front_left";

let desk: Desk;
beforeEach(() => {
  desk = new Desk(uuid7());
});
afterEach(async () => {
  desk.close();
  await Dexie.delete(desk.name);
});

const rows = () => desk.photo_marks.toArray();
const now = async () => marksAt(await rows(), STEP).get(USE.sha256);
const outbox = () => desk.outbox.toArray();
const sent = () => desk.outbox.toCollection().modify({ tried: 1 });
const arrives = (row: Partial<PhotoMarksRow>, position: number) =>
  takeIn(
    desk,
    {
      results: [],
      changes: [
        {
          position,
          id: uuid7(),
          kind: "photo_marks",
          by: "Okafor",
          body: { ...USE.place, inspection: "i", sha256: USE.sha256, replaces: [], ...row },
        },
      ],
      cursor: position,
      more: false,
    },
    [],
  );

test("drawing on writes one revision and one outbox row while nothing was sent", async () => {
  await keepMarks(desk, USE, [RING]);
  await keepMarks(desk, USE, [RING, NOTE]);
  expect(await now()).toEqual([RING, NOTE]);
  expect(await rows()).toHaveLength(1);
  const [only, ...more] = await outbox();
  expect(more).toEqual([]);
  expect(only).toMatchObject({
    kind: "photo_marks",
    body: { ...USE.place, sha256: USE.sha256, replaces: [], marks: [RING, NOTE] },
  });
  expect(only!.body).not.toHaveProperty("position");
});

test("once tried, what is drawn next replaces it by a revision of its own", async () => {
  await keepMarks(desk, USE, [RING]);
  const [first] = await rows();
  await sent();
  await keepMarks(desk, USE, []);
  expect(await now()).toEqual([]);
  expect((await outbox()).map((row) => row.body["replaces"])).toEqual([[], [first!.id]]);
});

test("nothing drawn where nothing was is no change", async () => {
  await keepMarks(desk, USE, []);
  expect([await rows(), await outbox()]).toEqual([[], []]);
});

test("what another phone drew meanwhile stands beside it, and one drawing replaces both", async () => {
  await keepMarks(desk, USE, [RING, NOTE]);
  await sent();
  const mine = (await rows())[0]!.id;
  const theirs = uuid7();
  // The server sorts the keys: the same ring is still the same.
  const ring = { r: 0.1, y: 0.3, x: 0.4, kind: "ring" } as const;
  await arrives({ id: theirs, marks: [ring, ARROW] }, 7);
  expect(await now()).toEqual([ring, ARROW, NOTE]);
  await keepMarks(desk, USE, [ARROW]);
  expect(await now()).toEqual([ARROW]);
  const last = (await outbox()).at(-1)!;
  expect(new Set(last.body["replaces"] as string[])).toEqual(new Set([mine, theirs]));
});

test("what was refused is drawn anew, upon what the server has", async () => {
  await arrives({ id: "theirs", marks: [RING] }, 7);
  await keepMarks(desk, USE, [NOTE]);
  await desk.outbox.toCollection().modify({ tried: 1, state: "refused", why: "…" });
  await keepMarks(desk, USE, [ARROW]);
  expect(await now()).toEqual([ARROW]);
  expect((await outbox()).map((row) => [row.state, row.body["replaces"]])).toEqual([
    ["waiting", ["theirs"]],
  ]);
});

test("a picture at two checks has its own marks at each; a closed inspection takes none", async () => {
  await keepMarks(desk, USE, [RING]);
  await keepMarks(desk, { ...USE, place: { ...USE.place, at: "rear_left" } }, [NOTE]);
  expect(await now()).toEqual([RING]);
  expect(marksAt(await rows(), "shaft_seal@rear_left").get(USE.sha256)).toEqual([NOTE]);
  await desk.inspections.put({ id: "i", closed_at: "2026-05-14" } as never);
  await keepMarks(desk, USE, [ARROW]);
  expect(await now()).toEqual([RING]);
});

test("a server that lost everything gets them once more, as they were drawn", async () => {
  await keepMarks(desk, USE, [RING]);
  await sent();
  await keepMarks(desk, USE, [RING, NOTE]);
  const before = (await outbox()).map((row) => row.body);
  await desk.outbox.clear();
  await desk.photo_marks.toCollection().modify({ position: 9 });
  await enqueueAll(desk);
  expect((await outbox()).map((row) => row.body)).toEqual(before);
  expect((await rows()).map((row) => row.position)).toEqual([0, 0]);
});

test("a desk of the first version opens with its rows and takes marks", async () => {
  const name = uuid7();
  const old = new Dexie(`inspect-desk:${name}`);
  old.version(1).stores({
    guides: "id",
    machines: "id",
    inspections: "id",
    drafts: "[inspection+step], inspection",
    revisions: "id, inspection, [inspection+checkpoint]",
    photos: "id, inspection, sha256",
    outbox: "++seq, id, subject, state, inspection",
    meta: "key",
  });
  const photo = { id: "p", inspection: "i", sha256: USE.sha256, bytes: new Uint8Array([1]).buffer };
  await old.table("photos").put(photo);
  await old.table("outbox").add({ id: "c", kind: "photo", subject: "photo:p", state: "waiting" });
  old.close();
  const opened = new Desk(name);
  expect(await opened.photos.get("p")).toEqual(photo);
  expect(await opened.outbox.count()).toBe(1);
  await keepMarks(opened, USE, [RING]);
  expect(await opened.photo_marks.count()).toBe(1);
  opened.close();
  await Dexie.delete(opened.name);
});
