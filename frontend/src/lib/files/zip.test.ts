import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, test } from "vitest";
import { zipOf } from "./zip.ts";

const bytesOf = (text: string) => new TextEncoder().encode(text);

test("Python's own reader finds every entry whole", async () => {
  const entries = [
    { name: "a.jpg", bytes: bytesOf("first").buffer },
    { name: "zweite-ü.jpg", bytes: new Uint8Array(70_000).fill(7).buffer },
    { name: "empty", bytes: new ArrayBuffer(0) },
  ];
  const folder = mkdtempSync(join(tmpdir(), "zip-"));
  const path = join(folder, "x.zip");
  writeFileSync(path, new Uint8Array(await zipOf(entries).arrayBuffer()));
  execFileSync("python3", ["-m", "zipfile", "-t", path]);
  execFileSync("python3", ["-m", "zipfile", "-e", path, folder]);
  for (const { name, bytes } of entries)
    expect(new Uint8Array(readFileSync(join(folder, name)))).toEqual(new Uint8Array(bytes));
});
