import { beforeEach, expect, test, vi } from "vitest";
import { type EngineState, NoEngine, PhoneEngine } from "./phoneEngine.ts";
import type { Parts, Question, Told } from "./protocol.ts";

const PARTS: Parts = {
  runtime: "/python/runtime-1/",
  info: {},
  engine: "/python/engine-1.bin",
  files: [
    { url: "/python/runtime-1/big.wasm", bytes: 300, sent: 100 },
    { url: "/python/engine-1.bin", bytes: 30, sent: 10 },
  ],
};

/** What the server has, by address; null = no signal. */
let served: Map<string, BodyInit> | null;
let kept: Map<string, number>;
let states: EngineState[];
let workers: FakeWorker[];

class FakeWorker {
  onmessage: ((event: { data: Told }) => void) | null = null;
  onerror: ((event: { message: string }) => void) | null = null;
  asked: (Parts | Question)[] = [];
  ended = false;
  postMessage(message: Parts | Question): void {
    this.asked.push(message);
  }
  terminate(): void {
    this.ended = true;
  }
  tell(data: Told): void {
    this.onmessage?.({ data });
  }
}

beforeEach(() => {
  vi.useFakeTimers();
  serveAll();
  kept = new Map();
  states = [];
  workers = [];
  vi.stubGlobal("fetch", (url: string) => {
    if (served === null) return Promise.reject(new TypeError("Failed to fetch"));
    const body = served.get(url);
    return Promise.resolve(new Response(body ?? "", { status: body === undefined ? 404 : 200 }));
  });
  const cache = {
    match: (url: string) => Promise.resolve(kept.has(url) ? new Response() : undefined),
    put: async (url: string, response: Response) => {
      kept.set(url, (await response.arrayBuffer()).byteLength);
    },
  };
  vi.stubGlobal("caches", { open: () => Promise.resolve(cache) });
});

function serveAll(): void {
  served = new Map<string, BodyInit>([
    ["/python/parts.json", JSON.stringify(PARTS)],
    ["/python/runtime-1/big.wasm", new Uint8Array(300)],
    ["/python/engine-1.bin", new Uint8Array(30)],
  ]);
}
const engineHere = async () => {
  const engine = phoneEngine();
  await engine.fetch();
  return engine;
};
function phoneEngine(): PhoneEngine {
  return new PhoneEngine(
    (state) => states.push(state),
    () => {
      workers.push(new FakeWorker());
      return workers.at(-1) as unknown as Worker;
    },
  );
}
const phase = () => states.at(-1)?.phase;
const settled = () => vi.advanceTimersByTimeAsync(0);

test("its files are fetched once, with progress in bytes as they travel, and kept whole", async () => {
  await engineHere();
  expect(Object.fromEntries(kept)).toEqual({
    "/python/runtime-1/big.wasm": 300,
    "/python/engine-1.bin": 30,
  });
  expect(states).toContainEqual({ phase: "fetching", loaded: 100, total: 110 });
  expect(states).toContainEqual({ phase: "fetching", loaded: 110, total: 110 });
  expect(phase()).toBe("resting");
  states.length = 0;
  served!.delete("/python/runtime-1/big.wasm");
  await engineHere();
  expect(states).toEqual([{ phase: "resting" }]);
});

test("what broke off goes on with the file that is missing", async () => {
  const engine = phoneEngine();
  served!.set("/python/engine-1.bin", new Uint8Array(7));
  await engine.fetch();
  expect([phase(), [...kept.keys()]]).toEqual(["absent", ["/python/runtime-1/big.wasm"]]);
  served!.set("/python/engine-1.bin", new Uint8Array(30));
  await engine.fetch();
  expect(phase()).toBe("resting");
  expect(states).toContainEqual({ phase: "fetching", loaded: 10, total: 10 });
});

test.each([
  ["no signal", null],
  ["a login portal's page", new Map([["/python/parts.json", "<h1>Wi-Fi</h1>"]])],
  [
    "a longer file than ours",
    new Map<string, BodyInit>([
      ["/python/parts.json", JSON.stringify(PARTS)],
      ["/python/runtime-1/big.wasm", "<h1>Wi-Fi</h1>".repeat(100)],
    ]),
  ],
])("%s leaves nothing half here, and it is asked for again later", async (_what, answers) => {
  served = answers;
  const engine = await engineHere();
  expect([engine.isHere, kept.size]).toEqual([false, 0]);
  await expect(engine.ask("assess", "{}")).rejects.toThrow(NoEngine);
  serveAll();
  await engine.fetch();
  expect(engine.isHere).toBe(true);
});

test("no room for it: said, and no further try", async () => {
  vi.stubGlobal("caches", {
    open: () => Promise.reject(new DOMException("full", "QuotaExceededError")),
  });
  await engineHere();
  expect(states).toEqual([{ phase: "cannot", why: "This phone has no room for it." }]);
});

test("it is started when asked, answers each question with its own answer, and rests after", async () => {
  const engine = await engineHere();
  const [one, two] = [engine.ask("assess", "one"), engine.ask("guide", "two")];
  expect(workers[0]!.asked).toEqual([PARTS]);
  workers[0]!.tell({ ready: true });
  await settled();
  expect(workers[0]!.asked.slice(1)).toEqual([
    { id: 1, call: "assess", text: "one" },
    { id: 2, call: "guide", text: "two" },
  ]);
  workers[0]!.tell({ id: 2, refused: [{ path: "machine.kind", what: "unknown" }] });
  workers[0]!.tell({ id: 1, text: "the grade" });
  expect(await one).toEqual({ text: "the grade" });
  expect(await two).toEqual({ refused: [{ path: "machine.kind", what: "unknown" }] });
  await vi.advanceTimersByTimeAsync(180_000);
  expect([workers[0]!.ended, phase()]).toEqual([true, "resting"]);
});

test.each([
  ["says that it cannot", (worker: FakeWorker) => worker.tell({ failed: "no memory" })],
  ["breaks", (worker: FakeWorker) => worker.onerror?.({ message: "" })],
  ["hangs", () => vi.advanceTimersByTime(30_000)],
])("a start that %s is said, and the phone asks no more", async (_how, happen) => {
  const engine = await engineHere();
  const answer = engine.ask("assess", "{}");
  const refused = expect(answer).rejects.toThrow(NoEngine);
  await settled();
  happen(workers[0]!);
  await refused;
  expect([phase(), engine.isHere, workers[0]!.ended]).toEqual(["cannot", false, true]);
  await expect(engine.ask("assess", "{}")).rejects.toThrow(NoEngine);
  expect(workers).toHaveLength(1);
});

test.each([
  ["breaks on", (worker: FakeWorker) => worker.tell({ id: 1, broke: "MemoryError" })],
  ["never answers", () => vi.advanceTimersByTime(20_000)],
])("a question it %s is answered by nobody here; the next starts it anew", async (_how, happen) => {
  const engine = await engineHere();
  const answer = engine.ask("assess", "{}");
  const refused = expect(answer).rejects.toThrow(NoEngine);
  workers[0]!.tell({ ready: true });
  await settled();
  happen(workers[0]!);
  await refused;
  expect([phase(), workers[0]!.ended]).toEqual(["resting", true]);
  const next = engine.ask("assess", "{}");
  workers[1]!.tell({ ready: true });
  await settled();
  workers[1]!.tell({ id: 2, text: "ok" });
  expect(await next).toEqual({ text: "ok" });
});
