/* The engine in the phone's Python. The first message names its parts; it says `ready`, then answers
   questions in order. */
import type { Parts, Question, Told } from "../lib/engine/protocol.ts";

interface Python {
  FS: { mkdirTree(path: string): void; writeFile(path: string, bytes: Uint8Array): void };
  runPython(code: string): unknown;
  globals: { get(name: string): (call: string, text: string) => Answer };
}
interface Answer {
  toJs(): ["text" | "refused", string];
  destroy(): void;
}

async function start({ runtime, engine, info }: Parts): Promise<Python["globals"]> {
  const archive = fetch(engine).then((response) => response.arrayBuffer());
  const { loadPyodide } = (await import(/* @vite-ignore */ `${runtime}pyodide.mjs`)) as {
    loadPyodide(options: Record<string, unknown>): Promise<Python>;
  };
  const python = await loadPyodide({
    indexURL: runtime,
    stdLibURL: `${runtime}stdlib.bin`,
    // No further packages: saves fetching the list of them.
    lockFileContents: { info, packages: {} },
    packageBaseUrl: runtime,
  });
  unpack(await archive, python);
  python.runPython('import sys; sys.path.insert(0, "/house"); from phone_start import answer');
  return python.globals;
}

/** Length of the index, the index [[path, size], …], the files' bytes one after the other. */
function unpack(archive: ArrayBuffer, python: Python): void {
  const length = new DataView(archive).getUint32(0, true);
  const index = JSON.parse(new TextDecoder().decode(new Uint8Array(archive, 4, length))) as [
    string,
    number,
  ][];
  let at = 4 + length;
  for (const [path, size] of index) {
    const place = `/house/${path}`;
    python.FS.mkdirTree(place.slice(0, place.lastIndexOf("/")));
    python.FS.writeFile(place, new Uint8Array(archive, at, size));
    at += size;
  }
}

function reply(ask: (call: string, text: string) => Answer, { id, call, text }: Question): Told {
  try {
    const answer = ask(call, text);
    const [kind, said] = answer.toJs();
    answer.destroy();
    if (kind === "text") return { id, text: said };
    return { id, refused: JSON.parse(said) as { path: string; what: string }[] };
  } catch (error) {
    return { id, broke: String(error) }; // out of memory, or a fault of the engine's
  }
}

const tell = (told: Told) => postMessage(told);

// Not in the worker's address: what comes from a cache is at home where the cache has it.
onmessage = ({ data }: MessageEvent<Parts>) =>
  start(data).then(
    (globals) => {
      const ask = globals.get("answer");
      onmessage = ({ data }: MessageEvent<Question>) => tell(reply(ask, data));
      tell({ ready: true });
    },
    (error: unknown) => tell({ failed: String(error) }),
  );
