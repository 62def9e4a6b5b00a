// The engine as it goes to phones, in the phone's Python. Run by test_two_pythons.py: the first
// argument is a file with a JSON list of questions; what asked.py answers goes to standard output.
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";

const served = new URL("../../frontend/public", import.meta.url);
const parts = JSON.parse(readFileSync(`${fileURLToPath(served)}/python/parts.json`, "utf8"));
const runtime = fileURLToPath(served) + parts.runtime;
const { loadPyodide } = await import(`${runtime}pyodide.mjs`);
const python = await loadPyodide({
  indexURL: runtime,
  stdLibURL: `${runtime}stdlib.bin`,
  lockFileContents: { info: parts.info, packages: {} },
});

const archive = readFileSync(fileURLToPath(served) + parts.engine);
let at = 4 + archive.readUInt32LE(0);
for (const [path, size] of JSON.parse(archive.subarray(4, at))) {
  const place = `/house/${path}`;
  python.FS.mkdirTree(place.slice(0, place.lastIndexOf("/")));
  python.FS.writeFile(place, archive.subarray(at, at + size));
  at += size;
}
python.FS.writeFile("/house/asked.py", readFileSync(new URL("asked.py", import.meta.url)));
python.runPython(`
import sys
sys.path.insert(0, "/house")
import phone_start  # as on a phone
from asked import answers
`);
const ask = python.globals.get("answers");
console.log(ask(readFileSync(process.argv[2], "utf8")));
