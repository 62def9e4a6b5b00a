// The engine in the phone's Python (Pyodide). Run by test_two_pythons.py: the first argument
// is a file with a JSON list of records' texts; {python, answers} goes to standard output.
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { loadPyodide } from "pyodide";

const house = fileURLToPath(new URL("../../inspect_app", import.meta.url));
const python = await loadPyodide();
python.FS.mkdirTree("/house/inspect_app");
python.FS.mount(python.FS.filesystems.NODEFS, { root: house }, "/house/inspect_app");
python.runPython(`
import sys
sys.dont_write_bytecode = True  # the folder is the developer's own
sys.path.insert(0, "/house")
from inspect_app.engine import api

def answers(text):
    try:
        return [api.guide(text), api.assess(text)]
    except api.RecordError as refused:
        return ["refused", str(refused)]
`);
const ask = python.globals.get("answers");
const texts = JSON.parse(readFileSync(process.argv[2], "utf8"));
const answers = texts.map((text) => ask(text).toJs());
console.log(JSON.stringify({ python: python.runPython("sys.version"), answers }));
