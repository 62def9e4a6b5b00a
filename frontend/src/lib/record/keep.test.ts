import Dexie from "dexie";
import { afterEach, beforeEach, expect, test, vi } from "vitest";
import { Desk } from "../db/database.ts";
import { madeGuide } from "../guide/made.fixture.ts";
import { uuid7 } from "../ids.ts";
import { keepPhoto, NotKept } from "../photos/keep.ts";
import { takeOffEverywhere } from "../photos/takeOff.ts";
import { currentByStep } from "./current.ts";
import { draftOf, EMPTY_DRAFT, observationOf, type StepDraft } from "./draft.ts";
import { beginInspection, keepDraft, keepSetup, type Keeping, moveAnswer } from "./keep.ts";
import { headerOf, recordOf } from "./record.ts";
import { emptySetup, layoutFor, setupOf } from "./setup.ts";

const GUIDE = madeGuide({ machine: { kind: "other" } });
const { checkpoints } = GUIDE;
const PLAY = checkpoints["bearing_play"]!;
const BOUNCE = checkpoints["bounce"]!;

let desk: Desk;
let keeping: Keeping;

beforeEach(async () => {
  desk = new Desk(uuid7());
  const inspection = await beginInspection(
    desk,
    emptySetup(new Date(2026, 4, 14), {
      units: "us",
      name: "",
      role: "buyer",
      purpose: "purchase",
    }),
  );
  keeping = {
    desk,
    inspection,
    place: { checkpoint: "bearing_play", at: "front_left", part: "lower" },
    checkpoint: PLAY,
  };
});
afterEach(async () => {
  desk.close();
  await Dexie.delete(desk.name);
});

const felt: StepDraft = { ...EMPTY_DRAFT, seen: ["felt"] };
const typed = (text: string, unit = "in"): StepDraft => ({
  ...felt,
  readings: { play: [{ text, unit }] },
});
const revisions = () => desk.revisions.toArray();

test("a reading is stored as typed, fraction and unit", async () => {
  await keepDraft(keeping, typed("14 3/8"));
  expect((await revisions())[0]?.observation).toMatchObject({
    checkpoint: "bearing_play",
    at: "front_left",
    part: "lower",
    status: "checked",
    seen: "felt",
    readings: { play: { value: "14 3/8", unit: "in" } },
  });
});

test("switching the unit converts nothing, however often", async () => {
  let draft = typed("83.5", "mm");
  for (const unit of ["in", "mm", "in", "mm", "in"]) {
    await keepDraft(keeping, { ...draft, readings: { play: [{ text: "83.5", unit }] } });
    draft = draftOf((await revisions())[0]!.observation!, PLAY);
    expect(draft.readings["play"]).toEqual([{ text: "83.5", unit }]);
  }
});

test("what cannot be read stays in the draft and is not sent", async () => {
  await keepDraft(keeping, typed("1.2.3"));
  expect((await desk.drafts.toArray())[0]?.draft.readings["play"]).toEqual([
    { text: "1.2.3", unit: "in" },
  ]);
  expect((await revisions())[0]?.observation).not.toHaveProperty("readings");
});

test("a reading that came with its doubt keeps it until it is typed over", async () => {
  const measured = { ...felt, readings: { play: [{ text: "0.42", unit: "mm", u: "0.03" }] } };
  await keepDraft(keeping, measured);
  const observation = (await revisions())[0]!.observation!;
  expect(observation.readings).toEqual({ play: { value: "0.42", unit: "mm", u: "0.03" } });
  expect(draftOf(observation, PLAY).readings).toEqual(measured.readings);
  await keepDraft(keeping, typed("0.43", "mm"));
  expect((await revisions())[0]!.observation!.readings).toEqual({
    play: { value: "0.43", unit: "mm" },
  });
});

test("typing on writes one revision and one outbox row while nothing was sent", async () => {
  for (const text of ["1", "14", "14 ", "14 3", "14 3/", "14 3/8"])
    await keepDraft(keeping, typed(text));
  expect(await revisions()).toHaveLength(1);
  const rows = await desk.outbox.toArray();
  expect(rows).toHaveLength(1);
  expect(rows[0]?.body).toMatchObject({
    observation: { readings: { play: { value: "14 3/8" } } },
    replaces: [],
  });
});

test("once tried, a change keeps its body: the next edit replaces it with a revision of its own", async () => {
  await keepDraft(keeping, felt);
  await desk.outbox.toCollection().modify({ tried: 1 });
  await keepDraft(keeping, { ...felt, seen: ["none"] });
  const [first, second] = await revisions().then((all) =>
    all.sort((a, b) => (a.replaces.length < b.replaces.length ? -1 : 1)),
  );
  expect(second?.replaces).toEqual([first?.id]);
  expect(
    (await desk.outbox.toArray()).map((row) => (row.body["observation"] as { seen: string }).seen),
  ).toEqual(["felt", "none"]);
});

test("taking an answer back before it was sent leaves nothing; after, a revision that says so", async () => {
  await keepDraft(keeping, felt);
  await keepDraft(keeping, EMPTY_DRAFT);
  expect([await desk.revisions.count(), await desk.outbox.count()]).toEqual([0, 0]);
  await keepDraft(keeping, felt);
  await desk.outbox.toCollection().modify({ tried: 1 });
  await keepDraft(keeping, EMPTY_DRAFT);
  expect(
    currentByStep(await revisions()).get("bearing_play@front_left/lower")?.[0]?.observation,
  ).toBeNull();
});

test("the answer and its outbox row are written together or not at all", async () => {
  const full = vi.spyOn(desk.outbox, "add").mockRejectedValue(new Dexie.QuotaExceededError());
  await expect(keepDraft(keeping, felt)).rejects.toThrow();
  full.mockRestore();
  expect([
    await desk.revisions.count(),
    await desk.drafts.count(),
    await desk.outbox.count(),
  ]).toEqual([0, 0, 0]);
});

test("one swing is no list; two are", async () => {
  const bounce = {
    ...keeping,
    place: { checkpoint: "bounce", at: "front_left", part: null },
    checkpoint: BOUNCE,
  };
  const peaks = (...texts: string[]) => ({
    ...EMPTY_DRAFT,
    readings: { peaks: texts.map((text) => ({ text, unit: "mm" })) },
  });
  await keepDraft(bounce, peaks("62"));
  expect(await desk.revisions.count()).toBe(0);
  await keepDraft(bounce, peaks("62", "", "21,5"));
  expect((await revisions())[0]?.observation?.readings).toEqual({
    peaks: { values: ["62", "21,5"], unit: "mm" },
  });
});

test("a photo is read back and compared, and waits with its record", async () => {
  const file = new File([new Uint8Array([255, 216, 255])], "image.jpg", { type: "image/jpeg" });
  const draft = await keepPhoto(keeping, felt, file, "camera");
  // printf '\377\330\377' | sha256sum
  const sha256 = "6e568e1f67fba258184c78181539e5e8fdee447e49bb706fc0ea34fbf12336a5";
  expect(draft.photos).toEqual([sha256]);
  expect((await revisions())[0]?.observation?.photos).toEqual([`sha256:${sha256}`]);
  expect((await desk.outbox.toArray()).map((row) => row.kind)).toEqual([
    "photo",
    "photo_bytes",
    "observation",
  ]);
});

test("the same picture once more on one step is still one; on another step it is another use", async () => {
  const taken = () =>
    new File([new Uint8Array([255, 216, 255])], "image.jpg", { type: "image/jpeg" });
  const once = await keepPhoto(keeping, felt, taken(), "camera");
  await desk.outbox.clear(); // sent
  expect((await keepPhoto(keeping, once, taken(), "gallery")).photos).toHaveLength(1);
  const sent = async () => (await desk.outbox.toArray()).map((row) => row.kind);
  expect([await desk.photos.count(), await sent()]).toEqual([1, ["photo_bytes"]]);
  const place = { checkpoint: "bearing_play", at: "front_right", part: "lower" };
  await keepPhoto({ ...keeping, place }, felt, taken(), "camera");
  expect([await desk.photos.count(), (await sent()).includes("photo")]).toEqual([2, true]);
});

// S02, S03: storage that is full, or that gives back nothing, or something else.
test.each([
  ["null", undefined],
  ["other bytes", { bytes: new Uint8Array([255, 216, 254]).buffer }],
  ["fewer bytes", { bytes: new Uint8Array([255, 216]).buffer }],
])("a phone that gives %s back of a picture has not kept it, and says so", async (_what, row) => {
  const lost = vi.spyOn(desk.photos, "get").mockResolvedValue(row as never);
  await expect(
    keepPhoto(keeping, felt, new File([new Uint8Array([255, 216, 255])], "image.jpg"), "camera"),
  ).rejects.toThrow(new NotKept("This phone did not keep the picture. Take it again."));
  lost.mockRestore();
  // Bytes, not a Blob or File: some browsers refuse those, or give null back.
  expect((await desk.photos.toArray())[0]?.bytes).toBeInstanceOf(ArrayBuffer);
});

test("an empty picture is refused before anything is queued", async () => {
  await expect(keepPhoto(keeping, felt, new File([], "image.jpg"), "gallery")).rejects.toThrow(
    NotKept,
  );
  expect(await desk.outbox.count()).toBe(0);
});

test("a full phone is told, and the work before it is safe", async () => {
  await keepDraft(keeping, felt);
  vi.spyOn(desk.photos, "put").mockRejectedValue(new Dexie.QuotaExceededError());
  await expect(
    keepPhoto(keeping, felt, new File([new Uint8Array([255, 216, 255])], "image.jpg"), "camera"),
  ).rejects.toThrow(/full/);
  expect([await desk.revisions.count(), await desk.photos.count()]).toEqual([1, 0]);
});

test("a header is sent once the kind is said, and a later one takes its place", async () => {
  const setup = emptySetup(new Date(2026, 4, 14, 23, 30), {
    units: "us",
    name: "R. Okafor",
    role: "buyer",
    purpose: "purchase",
  });
  await keepSetup(desk, keeping.inspection, setup);
  expect(await desk.outbox.count()).toBe(0);
  const said = {
    ...setup,
    kind: "quad",
    layout: layoutFor(["front_left", "rear_left"]),
    price: "14,500",
    since_unknown: true,
    style: "hard",
  };
  await keepSetup(desk, keeping.inspection, said);
  await keepSetup(desk, keeping.inspection, { ...said, distance: "4250", label: "Unit 7" });
  const rows = await desk.outbox.toArray();
  expect(rows.map((row) => row.kind).sort()).toEqual(["inspection", "machine"]);
  expect(rows.find((row) => row.kind === "inspection")?.body["header"]).toEqual({
    format: "suspension-record/1",
    inspected_on: "2026-05-14",
    purpose: "purchase",
    inspector: { name: "R. Okafor", role: "buyer" },
    stops: ["on_wheels", "corner", "lifted"],
    machine: {
      label: "Unit 7",
      kind: "quad",
      distance: { value: "4250", unit: "mi" },
      asking_price: { amount: "14500.00", currency: "USD" },
      use: { style: "hard", since_service: "unknown" },
    },
    assemblies: [{ at: "front_left" }, { at: "rear_left" }],
  });
});

test("the record is the header and the answers that count now", async () => {
  await keepSetup(desk, keeping.inspection, {
    ...emptySetup(new Date(2026, 4, 14), { units: "us", name: "", role: null, purpose: null }),
    kind: "quad",
  });
  await keepDraft(keeping, felt);
  await desk.outbox.toCollection().modify({ tried: 1 });
  await keepDraft(keeping, { ...EMPTY_DRAFT, status: "no_access", reason: "too_hot" });
  const row = (await desk.inspections.get(keeping.inspection))!;
  const record = recordOf(row, await revisions());
  expect(record).toMatchObject({
    format: "suspension-record/1",
    id: row.id,
    machine: { kind: "quad" },
  });
  expect(record?.observations).toHaveLength(1);
  expect(record?.observations?.[0]).toMatchObject({
    checkpoint: "bearing_play",
    status: "no_access",
    reason: "too_hot",
  });
});

test("a set-up read back from a header makes the same header", () => {
  const setup = {
    ...emptySetup(new Date(2026, 4, 14), {
      units: "metric" as const,
      name: "M. Sarkis",
      role: "shop",
      purpose: "intake",
    }),
    kind: "quad",
    model_year: "2021",
    distance: "6 840",
    since_distance: "900",
    since_seasons: "2",
    style: "mixed",
    layout: [{ at: "front", damper: "coilover", springs: 2, reservoir: true, electronic: false }],
    conditions: { ground: "level", washed_within_a_day: false },
    statements: [{ by: "driver", on: "2026-05-14", text: "it wallows" }],
  };
  const header = headerOf(setup)!;
  expect(headerOf(setupOf(header, undefined))).toEqual(header);
});

test.each([
  ["mi", "metric", "us"],
  ["km", "us", "metric"],
  ["", "us", "us"],
] as const)("taken over in %j on a phone of %s: read on in %s", (unit, here, units) => {
  const habits = { units: here, name: "", role: null, purpose: null } as const;
  const told = unit ? { distance: "4250", distance_unit: unit } : {};
  const header = headerOf({ ...emptySetup(new Date(0), habits), kind: "quad", ...told })!;
  expect(setupOf(header, undefined, here).units).toBe(units);
});

test("a distance of a record from elsewhere keeps its point, and is not taken for thousands", () => {
  const habits = { units: "us", name: "", role: null, purpose: null } as const;
  const header = headerOf({ ...emptySetup(new Date(0), habits), kind: "quad" })!;
  for (const [said, kept] of [
    ["4.250 mi", "4.25"],
    ["4.125 mi", "4.1250"],
    ["4,250 mi", undefined], // asked about
  ] as const) {
    const machine = { ...header.machine, distance: said };
    const again = headerOf(setupOf({ ...header, machine }, undefined))!;
    expect(again.machine["distance"]).toEqual(kept && { value: kept, unit: "mi" });
  }
});

test("choosing the newer of two answers settles them: a third, which replaces both", async () => {
  await keepDraft(keeping, felt);
  const [mine] = await revisions();
  await desk.outbox.clear();
  await desk.revisions.update(mine!.id, { position: 1 });
  const theirs = { ...mine!, id: uuid7(), replaces: [], position: 2, by: "M. Sarkis" };
  await desk.revisions.put(theirs);
  expect([...currentByStep(await revisions()).values()][0]).toHaveLength(2);
  await keepDraft(keeping, draftOf(theirs.observation!, PLAY));
  const current = [...currentByStep(await revisions()).values()][0]!;
  expect(current).toHaveLength(1);
  expect([...current[0]!.replaces].sort()).toEqual([mine!.id, theirs.id].sort());
  expect(await desk.revisions.count()).toBe(3);
});

const refuseAll = () =>
  desk.outbox.toCollection().modify({ state: "refused", why: "no", tried: 1 });

test("a new answer stands in the place of one the server refused, which is asked about no more", async () => {
  await keepDraft(keeping, typed("12", "mm"));
  await refuseAll();
  await keepDraft(keeping, typed("1.2", "mm"));
  const rows = await desk.outbox.toArray();
  expect(rows.map((row) => row.state)).toEqual(["waiting"]);
  expect(rows[0]?.body).toMatchObject({ replaces: [], observation: { readings: {} } });
  expect(await revisions()).toHaveLength(1);
});

test("a set-up put right takes its refusal away, and what was refused for it goes after it", async () => {
  const setup = (await desk.inspections.get(keeping.inspection))!.setup;
  await keepSetup(desk, keeping.inspection, { ...setup, kind: "quad", label: "x".repeat(121) });
  await keepDraft(keeping, felt);
  await refuseAll();
  await keepSetup(desk, keeping.inspection, { ...setup, kind: "quad", label: "Unit 12" });
  const rows = await desk.outbox.orderBy("seq").toArray();
  expect(rows.map(({ kind, state }) => [kind, state])).toEqual([
    ["machine", "waiting"],
    ["inspection", "waiting"],
    ["observation", "waiting"],
  ]);
});

test("a picture the server refused is taken off the check and out of the queue", async () => {
  await desk.guides.put({
    id: "kind:other",
    guide: GUIDE,
    made_for: "",
    kept_at: "",
  });
  const png = new Uint8Array([
    0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a, 0, 0, 0, 0, 0, 0, 0, 0,
  ]);
  await keepPhoto(keeping, felt, new File([png], "one.png", { type: "image/png" }), "camera");
  await refuseAll();
  const bytes = (await desk.outbox.toArray()).find((one) => one.kind === "photo_bytes");
  await takeOffEverywhere(desk, bytes!);
  expect(await desk.photos.count()).toBe(0);
  expect((await desk.outbox.toArray()).filter((one) => one.kind.startsWith("photo"))).toEqual([]);
  expect((await revisions())[0]?.observation).not.toHaveProperty("photos");
});

test("a recording of the motion sensor goes into the answer, and comes back from one", () => {
  const trace = { time_s: [0, 0.02], acceleration_m_s2: [9.8, 9.9], released_at_s: 0.01 };
  const place = { at: "front_left", part: null };
  const answer = observationOf({ ...EMPTY_DRAFT, trace }, BOUNCE, { ...place });
  expect(answer?.readings).toEqual({ trace });
  expect(draftOf(answer!, BOUNCE).trace).toEqual(trace);
});

test("an answer given before two springs were told apart becomes that of one, and is no more of none", async () => {
  const checkpoint = checkpoints["coil_contact"]!;
  const whole = { checkpoint: "coil_contact", at: "front_left", part: null };
  const note = "rubs at the top";
  await keepDraft(
    { ...keeping, checkpoint, place: whole },
    { ...EMPTY_DRAFT, seen: ["flat"], note },
  );
  await desk.outbox.clear(); // it was sent: taking it back must be sent too
  const [given] = await revisions();
  await moveAnswer({ ...keeping, checkpoint }, given!, { ...whole, part: "spring_2" });
  const current = currentByStep(await revisions());
  expect(current.get("coil_contact@front_left/spring_2")?.[0]?.observation).toMatchObject({
    part: "spring_2",
    seen: "flat",
    note,
  });
  expect(current.get("coil_contact@front_left")?.[0]?.observation).toBeNull();
  expect(await desk.outbox.count()).toBe(2);
  const drafts = (await desk.drafts.toArray()).map(({ step, draft }) => [step, draft.note]);
  expect(drafts).toEqual([["coil_contact@front_left/spring_2", note]]);
});
