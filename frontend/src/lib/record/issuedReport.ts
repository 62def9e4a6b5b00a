/* The report issued of an inspection, whichever phone asked for it: known from the last sync. */
import type { Desk } from "../db/database.ts";

export interface IssuedReport {
  id: string;
  number: string;
  revision: number;
  sha256: string;
  pdf: string;
  issued_at: string;
  verify_code: string | null;
  /** Where anyone can check it; a report remembered from before has none. */
  check?: string;
  tells_verdict?: boolean;
  /** What the issuer's staff should know of its signature; told to whoever issued it. */
  signing?: string | null;
}

/** What the server says of a report; null where that is something else. */
export function asReport(body: unknown): IssuedReport | null {
  const report = body as Partial<IssuedReport> | null;
  return typeof report?.id === "string" &&
    typeof report.pdf === "string" &&
    typeof report.number === "string" &&
    typeof report.revision === "number"
    ? (report as IssuedReport)
    : null;
}

const key = (inspection: string) => `report:${inspection}`;

export async function issuedOf(desk: Desk, inspection: string): Promise<IssuedReport | null> {
  return asReport((await desk.meta.get(key(inspection)))?.value);
}

/** Keep it, unless a later revision is known by now. */
export async function keepIssued(
  desk: Desk,
  inspection: string,
  report: IssuedReport,
): Promise<void> {
  const known = await issuedOf(desk, inspection);
  if (known && known.revision > report.revision) return;
  await desk.meta.put({ key: key(inspection), value: report });
}
