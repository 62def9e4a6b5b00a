/* Guides and assessments for tests as the engine makes them; the engine needs no more than Python itself. */
import { execFileSync } from "node:child_process";
import { readdirSync, readFileSync } from "node:fs";
import type { Assessment, Guide, InspectionRecord } from "../documents.ts";

const ROOT = `${import.meta.dirname}/../../../../`;
const RECORDS = `${ROOT}fixtures/records/`;
const LATER = "import sys, json; from inspect_app.engine import api; ask = json.load(sys.stdin); ";

/** Answers of the engine to several records at once: starting Python is what takes time. */
function ask<T>(what: "guide" | "assess", records: readonly object[]): T[] {
  const code = `${LATER}print(json.dumps([json.loads(api.${what}(json.dumps(r))) for r in ask]))`;
  const input = JSON.stringify(records);
  const most = 256 * 1024 * 1024;
  const options = { cwd: ROOT, input, maxBuffer: most, encoding: "utf8" } as const;
  return JSON.parse(execFileSync("python3", ["-c", code], options)) as T[];
}

const EMPTY = { format: "suspension-record/1", id: "test", inspected_on: "2026-05-14" };

export const made = {
  guides: (records: readonly object[]) => ask<Guide>("guide", records),
  assessments: (records: readonly object[]) => ask<Assessment>("assess", records),
};

export function madeGuide(record: object): Guide {
  return ask<Guide>("guide", [{ ...EMPTY, ...record }])[0]!;
}

/** Every record of the fixtures with its guide and assessment. */
export function fixtures(): { record: InspectionRecord; guide: Guide; assessment: Assessment }[] {
  const names = readdirSync(RECORDS).filter((name) => name.endsWith(".json"));
  const read = (name: string) => JSON.parse(readFileSync(RECORDS + name, "utf8"));
  const records = names.map(read) as InspectionRecord[];
  const guides = ask<Guide>("guide", records);
  const assessments = ask<Assessment>("assess", records);
  return records.map((record, i) => ({
    record,
    guide: guides[i]!,
    assessment: assessments[i]!,
  }));
}
