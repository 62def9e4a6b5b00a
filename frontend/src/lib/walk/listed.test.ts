import { expect, test } from "vitest";
import { Desk } from "../db/database.ts";
import { uuid7 } from "../ids.ts";
import { beginInspection } from "../record/keep.ts";
import { headerOf } from "../record/record.ts";
import { emptySetup } from "../record/setup.ts";
import { listedOf } from "./listed.ts";

test("for the list no answer of a closed inspection is read", async () => {
  const desk = new Desk(uuid7());
  const empty = emptySetup(new Date(2026, 10, 22), {
    units: "us",
    name: "",
    role: "yard",
    purpose: null,
  });
  const setup = { ...empty, kind: "other" as const };
  const open = await beginInspection(desk, setup);
  await desk.inspections.update(open, { header: headerOf(setup) });
  const closed = await beginInspection(desk, setup);
  const closed_at = "2026-11-22T11:00:00Z";
  await desk.inspections.update(closed, { header: headerOf(setup), closed_at });
  const answer = {
    checkpoint: "mounting",
    at: "front",
    part: null,
    replaces: [],
    recorded_at: "",
    position: 1,
    by: null,
  };
  const observation = { checkpoint: "mounting", status: "no_access" } as const;
  await desk.revisions.bulkAdd(
    [open, closed].map((inspection) => ({ ...answer, id: uuid7(), inspection, observation })),
  );
  const read: string[] = [];
  desk.revisions.hook("reading", (row) => {
    read.push(row.inspection);
    return row;
  });
  const listed = await listedOf(desk);
  expect(listed.closed.map(({ id }) => id)).toEqual([closed]);
  expect(listed.open.map(({ row }) => row.id)).toEqual([open]);
  expect(new Set(read)).toEqual(new Set([open]));
  await desk.delete();
});
