import Dexie from "dexie";
import { afterEach, beforeEach, expect, test } from "vitest";
import { Desk } from "../db/database.ts";
import { enqueue, enqueueBytes } from "../db/outbox.ts";
import { uuid7 } from "../ids.ts";
import { enqueueAll } from "./again.ts";
import { LITTLE_ROOM_BYTES, warningsOf } from "./room.ts";
import { type Unsent, unsentOf, unsentWords } from "./unsent.ts";

let desk: Desk;
beforeEach(() => (desk = new Desk(uuid7())));
afterEach(async () => {
  desk.close();
  await Dexie.delete(desk.name);
});
const NOW = new Date("2026-05-14T12:00:00Z");
const daysBefore = (days: number) => NOW.getTime() - days * 86_400_000;
/** The first id a phone makes in this millisecond (RFC 9562 §5.7). */
const idAt = (ms: number) =>
  ms
    .toString(16)
    .padStart(12, "0")
    .replace(/^(.{8})/, "$1-") + "-7000-8000-000000000000";
const photo = (id: string, inspection: string) => ({
  id,
  inspection,
  sha256: "ab",
  checkpoint: "oil",
  at: null,
  part: null,
  bytes: new ArrayBuffer(8_400_000),
  type: "image/jpeg",
  source: "camera" as const,
  name: "image.jpg",
  taken_at: "2026-05-11T12:00:00Z",
});

test("count, size and age of what waits; a photo is as old as its picture", async () => {
  await enqueue(desk, { kind: "machine", inspection: "i", subject: "machine:m", body: {} });
  await desk.photos.put(photo(idAt(daysBefore(3)), "i"));
  await enqueueBytes(desk, { sha256: "ab", inspection: "i", size: 8_400_000 });
  const unsent = await unsentOf(desk, await desk.outbox.toArray());
  expect(unsentWords(unsent, NOW)).toBe(
    "1 answer or record, 1 photo, 8.4 MB, the oldest 3 days old",
  );
});

test("nothing waits: nothing is said", async () => {
  const unsent = await unsentOf(desk, []);
  expect([unsent.since, unsentWords(unsent, NOW)]).toEqual([null, ""]);
});

const unsent = (days: number): Unsent => ({
  records: 1,
  photos: 0,
  refused: 0,
  bytes: 100,
  since: new Date(daysBefore(days)),
});
test.each<[string, number, number | null, boolean, string[]]>([
  ["fresh, room enough", 0, 1e9, false, []],
  ["just under three days", 2.99, 1e9, false, []],
  ["three days", 3, 1e9, false, ["old"]],
  ["three days, kept by promise", 3, 1e9, true, []],
  ["a clock put back", -400, 1e9, false, []],
  ["room at the limit", 0, LITTLE_ROOM_BYTES, false, []],
  ["less room", 0, LITTLE_ROOM_BYTES - 1, true, ["little_room"]],
  ["no word of the room", 0, null, false, []],
])("%s", (_what, days, left, promised, said) =>
  expect(warningsOf(unsent(days), { left, promised }, NOW).map((one) => one.id)).toEqual(said),
);

test("sent as new: everything on the desk is in the queue once, under its own id", async () => {
  const header = { format: "suspension-record/1", machine: { kind: "quad" } } as never;
  const base = { machine: "m", header, setup: {} as never, began_at: "", changed_at: "" };
  await desk.inspections.put({ ...base, id: "i", closed_at: "2026-05-14T11:00:00.000Z" });
  await desk.machines.put({
    id: "m",
    label: "Quad",
    kind: "quad",
    identification_number: "",
    assemblies: [],
  });
  const place = { checkpoint: "oil", at: null, part: null };
  const revision = { ...place, inspection: "i", replaces: [], recorded_at: "", by: null };
  await desk.revisions.put({ ...revision, id: "r", position: 7, observation: null });
  await desk.photos.put(photo("p", "i"));
  await desk.meta.bulkPut([
    { key: "cursor", value: 12 },
    { key: "report:i", value: {} },
    { key: "grade:i", value: {} },
  ]);
  await enqueue(desk, { kind: "machine", inspection: "i", subject: "machine:m", body: { old: 1 } });

  await enqueueAll(desk);
  await enqueueAll(desk); // pressed twice

  const rows = await desk.outbox.orderBy("seq").toArray();
  expect(rows.map((row) => [row.kind, row.body["id"] ?? row.body["sha256"]])).toEqual([
    ["machine", "m"],
    ["inspection", "i"],
    ["observation", "r"],
    ["photo", "p"],
    ["photo_bytes", "ab"],
    ["close", expect.any(String)],
  ]);
  expect(rows.at(-1)?.body).toMatchObject({ observations: ["r"], photos: ["ab"] });
  expect(rows[3]?.body).not.toHaveProperty("bytes");
  expect((await desk.revisions.get("r"))?.position).toBe(0);
  expect(await desk.meta.toCollection().primaryKeys()).toEqual(["grade:i"]);
});

test("every table of a desk was thought of", () => {
  // A new one: is it sent as new (again.ts) and poured onto another desk (people/owner.ts)?
  expect(desk.tables.map((table) => table.name).sort()).toEqual(
    "drafts guides inspections machines meta outbox photo_marks photos revisions".split(" "),
  );
});
