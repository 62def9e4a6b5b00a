/* Builds the service worker last: it names every file of the version it belongs to. */
import { createHash } from "node:crypto";
import { readdirSync, readFileSync } from "node:fs";
import { join, relative } from "node:path";
import { fileURLToPath } from "node:url";
import { defineConfig } from "vite";

const DIST = new URL("./dist/", import.meta.url);
const LEFT_OUT = /^python\/|^sw\.js|\.(br|gz)$/;

const names = readdirSync(DIST, { recursive: true, withFileTypes: true })
  .filter((entry) => entry.isFile())
  .map((entry) => relative(fileURLToPath(DIST), join(entry.parentPath, entry.name)))
  .filter((name) => name === "python/parts.json" || !LEFT_OUT.test(name))
  .sort();
const sha256 = createHash("sha256");
for (const name of names) sha256.update(name).update(readFileSync(new URL(name, DIST)));
const page = readFileSync(new URL("index.html", DIST), "utf8");
const parts = JSON.parse(readFileSync(new URL("python/parts.json", DIST), "utf8")) as {
  files: { url: string }[];
};

export default defineConfig({
  publicDir: false,
  define: {
    BUILD: JSON.stringify({
      version: sha256.digest("hex").slice(0, 12),
      files: names.map((name) => (name === "index.html" ? "/" : `/${name}`)),
      entry: /src="(\/assets\/[^"]+)"/.exec(page)?.[1],
      engine: parts.files.map(({ url }) => url),
    }),
  },
  build: {
    target: "es2022",
    emptyOutDir: false,
    lib: { entry: "src/sw/sw.ts", formats: ["iife"], name: "sw", fileName: () => "sw.js" },
  },
});
