/* An inspection as files: what the command line reads, for when there is no way to the server. */
import type { Desk } from "../db/database.ts";
import { labelOf } from "../record/called.ts";
import { recordOf } from "../record/record.ts";
import { type Entry, zipOf } from "./zip.ts";

/** The record, readable by `manage.py assess`; null while the kind of machine is not said. */
export async function recordFile(desk: Desk, id: string): Promise<File | null> {
  const row = await desk.inspections.get(id);
  const revisions = await desk.revisions.where("inspection").equals(id).toArray();
  const record = row && recordOf(row, revisions);
  if (!record) return null;
  const text = `${JSON.stringify(record, null, 1)}\n`;
  return new File([text], `${await nameOf(desk, id)}.json`, { type: "application/json" });
}

/** The pictures this phone has of an inspection, each named by its SHA-256 as the record names it. */
export async function photosFile(desk: Desk, id: string): Promise<File | null> {
  const rows = await desk.photos.where("inspection").equals(id).toArray();
  const entries = new Map<string, Entry>();
  for (const { sha256, bytes, type } of rows) {
    const ending = /^image\/([a-z]+)$/.exec(type)?.[1]?.replace("jpeg", "jpg") ?? "jpg";
    entries.set(sha256, { name: `${sha256}.${ending}`, bytes });
  }
  if (entries.size === 0) return null;
  const zip = zipOf([...entries.values()]);
  return new File([zip], `${await nameOf(desk, id)}-photos.zip`, { type: zip.type });
}

/** "unit-7-2026-05-14": what it is called and the day, in letters any file system takes. */
async function nameOf(desk: Desk, id: string): Promise<string> {
  const setup = (await desk.inspections.get(id))?.setup;
  if (!setup) return "inspection";
  const called = labelOf(setup)
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, "-")
    .replace(/^-+|-+$/g, "")
    .slice(0, 40);
  return [called || "inspection", setup.inspected_on].filter(Boolean).join("-");
}

/** Hand a file to the person as the browser does: into their downloads. */
export function handOver(file: File): void {
  const url = URL.createObjectURL(file);
  const link = document.createElement("a");
  link.href = url;
  link.download = file.name;
  link.click();
  // The browser has taken it by then; some only begin to read it after the click is over.
  setTimeout(() => URL.revokeObjectURL(url), 60_000);
}
