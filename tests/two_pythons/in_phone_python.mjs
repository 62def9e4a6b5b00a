// The engine in the phone's Python (Pyodide). Run by test_two_pythons.py: the first argument is a
// file with a JSON list of questions; what asked.py answers goes to standard output.
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { loadPyodide } from "pyodide";

const house = fileURLToPath(new URL("../../inspect_app", import.meta.url));
const python = await loadPyodide();
python.FS.mkdirTree("/house/inspect_app");
python.FS.mount(python.FS.filesystems.NODEFS, { root: house }, "/house/inspect_app");
python.FS.writeFile("/house/asked.py", readFileSync(new URL("asked.py", import.meta.url)));
python.runPython(`
import sys
sys.dont_write_bytecode = True  # the folder is the developer's own
sys.path.insert(0, "/house")
from asked import answers
`);
const ask = python.globals.get("answers");
console.log(ask(readFileSync(process.argv[2], "utf8")));
