/* A ZIP file of entries stored as they are: photos do not get smaller. */
import { Zip, ZipPassThrough } from "fflate";

export interface Entry {
  name: string;
  bytes: ArrayBuffer;
}

/** Entries of at most 4 GB together: without the 64-bit extension a ZIP holds no more. */
export function zipOf(entries: readonly Entry[]): Blob {
  const parts: BlobPart[] = [];
  const zip = new Zip((error, part) => {
    if (error) throw error;
    parts.push(part as Uint8Array<ArrayBuffer>);
  });
  for (const { name, bytes } of entries) {
    const entry = new ZipPassThrough(name);
    zip.add(entry);
    entry.push(new Uint8Array(bytes), true);
  }
  zip.end();
  return new Blob(parts, { type: "application/zip" });
}
