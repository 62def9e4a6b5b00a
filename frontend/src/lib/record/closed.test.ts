import Dexie from "dexie";
import { afterEach, beforeEach, expect, test } from "vitest";
import { NoConnection, Server } from "../api/call.ts";
import { Desk } from "../db/database.ts";
import type { CameTo, InspectionRow } from "../db/rows.ts";
import type { Assessment } from "../documents.ts";
import { uuid7 } from "../ids.ts";
import { takeIn } from "../sync/pull.ts";
import { closedWords, latestFirst, learnWhatClosedCameTo, otherThen } from "./closed.ts";
import { emptySetup } from "./setup.ts";

const RIDE = { verdict: "ride", words: "Ride", zone: "A", rulebook: "2026.1" } as CameTo;
const PARK: CameTo = { ...RIDE, verdict: "park_it", words: "Park it", zone: "D" };
let desk: Desk;
beforeEach(() => void (desk = new Desk(uuid7())));
afterEach(async () => {
  desk.close();
  await Dexie.delete(desk.name);
});

async function closed(id: string): Promise<void> {
  const setup = emptySetup(new Date(), { units: "us", name: "", role: null, purpose: null });
  const at = "2026-05-14T11:00:00Z";
  await desk.inspections.put({
    id,
    machine: null,
    header: null,
    setup,
    began_at: at,
    changed_at: at,
    closed_at: at,
  });
}
/** A server of so many pages; asked: the addresses it was asked for. */
function pages(...rows: { id: string; summary: CameTo | null; closed_at?: string | null }[][]) {
  const asked: string[] = [];
  const server = new Server((path) => {
    asked.push(path);
    const page = Number(new URL(path, "http://x").searchParams.get("after") ?? 0);
    const answer = {
      rows: (rows[page] ?? []).map((row) => ({
        closed_at: "2026-05-14T11:00:00Z",
        closed_by: "Bo",
        ...row,
      })),
      next: page + 1 < rows.length ? String(page + 1) : null,
    };
    return Promise.resolve(Response.json(answer));
  });
  return { asked, server };
}

test("what closed ones came to is asked for page by page until all is known", async () => {
  for (const id of ["one", "two"]) await closed(id);
  const { asked, server } = pages(
    [{ id: "other", summary: RIDE }],
    [
      { id: "two", summary: RIDE },
      { id: "one", summary: PARK },
    ],
    [{ id: "more", summary: RIDE }],
  );
  await learnWhatClosedCameTo(desk, server, new Set());
  expect(asked).toEqual(["/api/inspections", "/api/inspections?after=1"]);
  expect(await desk.inspections.get("two")).toMatchObject({ came_to: RIDE, closed_by: "Bo" });
  expect((await desk.inspections.get("one"))?.came_to).toEqual(PARK);
  await learnWhatClosedCameTo(desk, server, new Set());
  expect(asked).toHaveLength(2);
});

test("one the engine refused is told from one nobody asked about, and asked about once a visit", async () => {
  await closed("one");
  const { asked, server } = pages([{ id: "one", summary: null }]);
  const inVain = new Set<string>();
  await learnWhatClosedCameTo(desk, server, inVain);
  await learnWhatClosedCameTo(desk, server, inVain);
  expect(asked).toHaveLength(1);
  expect((await desk.inspections.get("one"))?.came_to).toBeNull();
});

test("of two closings the first one's day and name are shown, as the server keeps them", async () => {
  await closed("one");
  const first = "2026-05-13T09:00:00Z";
  const { server } = pages([{ id: "one", summary: RIDE, closed_at: first }]);
  await learnWhatClosedCameTo(desk, server, new Set());
  expect(await desk.inspections.get("one")).toMatchObject({ closed_at: first, closed_by: "Bo" });
});

test("a portal that answers in the server's place teaches nothing", async () => {
  await closed("one");
  const server = new Server(() => Promise.resolve(Response.json({ welcome: true })));
  await expect(learnWhatClosedCameTo(desk, server, new Set())).rejects.toThrow(NoConnection);
  expect((await desk.inspections.get("one"))?.came_to).toBeUndefined();
});

test("what the server has not closed yet is asked for once a visit", async () => {
  await closed("one");
  const { asked, server } = pages([{ id: "one", summary: RIDE, closed_at: null }]);
  const inVain = new Set<string>();
  await learnWhatClosedCameTo(desk, server, inVain);
  await learnWhatClosedCameTo(desk, server, inVain);
  expect(asked).toHaveLength(1);
  expect((await desk.inspections.get("one"))?.came_to).toBeUndefined();
});

test("an answer that comes after the closing has it asked for anew; a header leaves who closed it", async () => {
  await closed("one");
  await desk.inspections.update("one", { came_to: RIDE, closed_by: "Bo" });
  const revision = { id: uuid7(), inspection: "one", checkpoint: "shaft_seal", replaces: [] };
  const header = {
    format: "suspension-record/1",
    inspected_on: "2026-05-14",
    machine: { kind: "quad" },
  };
  const bodies = [
    { kind: "inspection", body: { id: "one", machine: null, header, recorded_at: "" } },
    { kind: "observation", body: { ...revision, recorded_at: "", observation: null } },
  ];
  await takeIn(
    desk,
    {
      results: [],
      changes: bodies.map((one, position) => ({ ...one, position, id: uuid7(), by: "Cy" })),
      cursor: 1,
      more: false,
    },
    [],
  );
  const row = await desk.inspections.get("one");
  expect(row?.came_to).toBeUndefined();
  expect(row).toMatchObject({ closed_by: "Bo", closed_at: "2026-05-14T11:00:00Z" });
});

test("a closed one says who and when, and what it said then where it says something else now", () => {
  const row = { closed_at: "2026-05-14", closed_by: "Bo", came_to: RIDE } as InspectionRow;
  expect(closedWords(row, (iso) => iso)).toBe("Closed on 2026-05-14 by Bo");
  expect(closedWords({ ...row, closed_by: null }, (iso) => iso)).toBe("Closed on 2026-05-14");
  const now = (code: string, zone: string) =>
    ({ verdict: { code }, machine: { zone } }) as unknown as Assessment;
  expect(otherThen(row, now("ride", "A"))).toBeNull();
  expect(otherThen(row, now("park_it", "D"))).toContain("it said: Ride, zone A");
  expect(otherThen({ ...row, came_to: null }, now("park_it", "D"))).toBeNull();
});

test("the latest day first; of one day, the one begun last", () => {
  const rows = [
    ["1", "2026-05-14"],
    ["2", "2026-06-01"],
    ["3", "2026-05-14"],
  ].map(([id, inspected_on]) => ({ id, setup: { inspected_on } }) as InspectionRow);
  expect(latestFirst(rows).map((row) => row.id)).toEqual(["2", "3", "1"]);
});
