/* The engine for the phone, in public/python: Python for browsers (the runtime) and our engine with
   its rulebook, apart, so that a change of the engine costs a phone kilobytes. Each is named by its
   content; the same sources give the same bytes.

   Both are precompiled by that very Python: a phone would spend seconds on compiling. Of the standard
   library only what boot and engine import is taken; a test runs every fixture record on the result. */
import { createHash } from "node:crypto";
import { existsSync, mkdirSync, readFileSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { brotliCompressSync, constants } from "node:zlib";
import { loadPyodide } from "pyodide";

const PYODIDE = new URL("./node_modules/pyodide/", import.meta.url);
const HOUSE = new URL("../inspect_app/", import.meta.url);
const OUT = new URL("./public/python/", import.meta.url);
const PARTS = new URL("parts.json", OUT);
const RUNTIME_FILES = ["pyodide.mjs", "pyodide.asm.mjs", "pyodide.asm.wasm"];

const hash = (...parts) => {
  const sha256 = createHash("sha256");
  for (const part of parts) sha256.update(part);
  return sha256.digest("hex").slice(0, 12);
};

/** Path -> bytes, of all that the engine is made of, in one order. */
function engineSources() {
  const names = readdirSync(new URL("engine/", HOUSE), { recursive: true })
    .filter((name) => /\.(py|toml)$/.test(name))
    .sort();
  return new Map([
    ["phone_start.py", readFileSync(new URL("phone_start.py", import.meta.url))],
    ...["__init__.py", ...names.map((name) => `engine/${name}`)].map((path) => [
      `inspect_app/${path}`,
      readFileSync(new URL(path, HOUSE)),
    ]),
  ]);
}

// The rulebook as TOML takes as long to read as a grade: a phone gets it read already.
const READ = `
import json, sys, tomllib

def read(text):
    return json.dumps(tomllib.loads(text), ensure_ascii=False, separators=(",", ":"))
`;
// Imports all that a grade needs. Tells which files of the standard library that took, and which
// texts of methods the dataclasses wrote.
const IMPORT = `
for name in [name for name in sys.modules if name.startswith("tomllib")]:
    del sys.modules[name]
sys.dont_write_bytecode = True
sys.path.insert(0, "/house")
import dataclasses
import marshal, pathlib
written = []
dataclasses.exec = lambda text, *names: (written.append(text), exec(text, *names))
from inspect_app.engine import api, compare_document, plan_document, trend_document
from inspect_app.engine.rules import own_rulebook
own_rulebook()

STDLIB = "/lib/python314.zip/"
files = (getattr(module, "__file__", None) or "" for module in list(sys.modules.values()))
used = sorted({file.removeprefix(STDLIB) for file in files if file.startswith(STDLIB)})
used
`;
const COMPILE = `
import ast, io, zipfile
from importlib._bootstrap_external import _code_to_timestamp_pyc

def compiled(source, name):
    code = compile(source, name, "exec", dont_inherit=True, optimize=2)
    return bytes(_code_to_timestamp_pyc(code, 0, 0))

def with_short_docs(source, name):
    # Of a dataclass without a docstring, as all are once compiled, a start would make one: slowly.
    tree = ast.parse(source, name)
    for one in [one for one in ast.walk(tree) if isinstance(one, ast.ClassDef) and one.decorator_list]:
        one.body.insert(0, ast.parse("__doc__ = '.'").body[0])
    return ast.fix_missing_locations(tree)

def methods():
    return marshal.dumps({text: compile(text, "<string>", "exec", dont_inherit=True) for text in written})

def archive_of(names):
    made = io.BytesIO()
    with zipfile.ZipFile(STDLIB[:-1]) as whole, zipfile.ZipFile(made, "w") as kept:
        for name in names:
            # Stored, not deflated: brotli does better on the way, and nothing is unpacked at start.
            entry = zipfile.ZipInfo(name + "c", (1980, 1, 1, 0, 0, 0))
            kept.writestr(entry, compiled(whole.read(name), name))
    return made.getvalue()
`;

async function compile(written) {
  const python = await loadPyodide({ env: { PYTHONHASHSEED: "0" } });
  python.runPython(READ);
  const read = python.globals.get("read");
  const sources = new Map(
    [...written].map(([path, bytes]) =>
      path.endsWith(".toml")
        ? [path.replace(/toml$/, "json"), Buffer.from(read(bytes.toString("utf8")))]
        : [path, bytes],
    ),
  );
  for (const [path, bytes] of sources) {
    const place = `/house/${path}`;
    python.FS.mkdirTree(place.slice(0, place.lastIndexOf("/")));
    python.FS.writeFile(place, bytes);
  }
  const used = python.runPython(IMPORT);
  python.runPython(COMPILE);
  const stdlib = Buffer.from(python.globals.get("archive_of")(used).toJs());
  const compiled = python.globals.get("compiled");
  const withShortDocs = python.globals.get("with_short_docs");
  const engine = new Map(
    [...sources].map(([path, bytes]) =>
      path.endsWith(".py")
        ? [
            `${path}c`,
            Buffer.from(compiled(withShortDocs(bytes.toString("utf8"), path), path).toJs()),
          ]
        : [path, bytes],
    ),
  );
  engine.set("methods.bin", Buffer.from(python.globals.get("methods")().toJs()));
  return { stdlib, engine: packed(engine) };
}

/** One file of many: length of the index (4 bytes, little end first), the index [[path, size], …] as JSON, the bytes. */
function packed(files) {
  const index = Buffer.from(
    JSON.stringify([...files].map(([path, bytes]) => [path, bytes.length])),
  );
  const length = Buffer.alloc(4);
  length.writeUInt32LE(index.length);
  return Buffer.concat([length, index, ...files.values()]);
}

/** Write a file and its compressed twin, which stands beside it as WhiteNoise looks for it. */
function writeWithTwin(name, bytes) {
  // The last tenth of compression costs ten times the time, and is not worth a minute's wait.
  const twin = brotliCompressSync(bytes, {
    params: {
      [constants.BROTLI_PARAM_QUALITY]: 9,
      [constants.BROTLI_PARAM_LGWIN]: 24,
      [constants.BROTLI_PARAM_SIZE_HINT]: bytes.length,
    },
  });
  writeFileSync(new URL(name, OUT), bytes);
  writeFileSync(new URL(`${name}.br`, OUT), twin);
  return { url: `/python/${name}`, bytes: bytes.length, sent: twin.length };
}

function write({ stdlib, engine }, before) {
  const contents = [
    ...RUNTIME_FILES.map((name) => [name, readFileSync(new URL(name, PYODIDE))]),
    ["stdlib.bin", stdlib],
  ];
  const runtime = `runtime-${hash(...contents.map(([, bytes]) => bytes))}`;
  const archive = `engine-${hash(engine)}.bin`;
  for (const name of readdirSync(OUT))
    if (name !== runtime) rmSync(new URL(name, OUT), { recursive: true });
  mkdirSync(new URL(runtime, OUT), { recursive: true });
  const files = contents.map(
    ([name, bytes]) =>
      before.find(({ url }) => url === `/python/${runtime}/${name}`) ??
      writeWithTwin(`${runtime}/${name}`, bytes),
  );
  return {
    runtime: `/python/${runtime}/`,
    // What the runtime checks itself against; of its further packages we need none.
    info: JSON.parse(readFileSync(new URL("pyodide-lock.json", PYODIDE), "utf8")).info,
    engine: `/python/${archive}`,
    files: [...files, writeWithTwin(archive, engine)],
  };
}

mkdirSync(OUT, { recursive: true });
const sources = engineSources();
const made_from = hash(
  readFileSync(new URL(import.meta.url)),
  readFileSync(new URL("package.json", PYODIDE)),
  ...[...sources].flat(),
);
const before = existsSync(PARTS) ? JSON.parse(readFileSync(PARTS, "utf8")) : { files: [] };
if (before.made_from !== made_from) {
  const parts = write(await compile(sources), before.files);
  writeFileSync(PARTS, JSON.stringify({ ...parts, made_from }, null, 1));
}
