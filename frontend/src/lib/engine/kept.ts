/* The last grade of each inspection, so that it is there at once, and without a signal. */
import type { Desk } from "../db/database.ts";
import type { Assessment, InspectionRecord } from "../documents.ts";

export interface KeptGrade {
  assessment: Assessment;
  /** The record it was made of; another record makes it stale. */
  of: string;
}

export function fingerprint(record: InspectionRecord): string {
  return JSON.stringify(record);
}

export async function keepGrade(
  desk: Desk,
  record: InspectionRecord,
  assessment: Assessment,
): Promise<void> {
  await desk.meta.put({
    key: `grade:${record.id}`,
    value: { assessment, of: fingerprint(record) } satisfies KeptGrade,
  });
}

export async function keptGrade(desk: Desk, inspection: string): Promise<KeptGrade | null> {
  return ((await desk.meta.get(`grade:${inspection}`))?.value as KeptGrade | undefined) ?? null;
}
