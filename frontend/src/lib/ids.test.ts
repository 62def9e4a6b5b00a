import { afterEach, beforeEach, expect, test, vi } from "vitest";

const stored = new Map<string, string>();
beforeEach(() => {
  stored.clear();
  vi.stubGlobal("localStorage", {
    getItem: (key: string) => stored.get(key) ?? null,
    setItem: (key: string, value: string) => void stored.set(key, value),
  });
});
afterEach(() => {
  vi.unstubAllGlobals();
  vi.restoreAllMocks();
});

/** The module as a page has it that was just opened. */
async function opened() {
  vi.resetModules();
  return (await import("./ids.ts")).uuid7;
}

function at(now_ms: number, uuid7: () => string): string {
  vi.spyOn(Date, "now").mockReturnValue(now_ms);
  return uuid7();
}

test("an id says when it was made and what it is", async () => {
  const uuid7 = await opened();
  // RFC 9562, appendix A.6: the milliseconds 0x017F22E279B0.
  expect(uuid7(0x017f22e279b0)).toMatch(
    /^017f22e2-79b0-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/,
  );
});

test("one made later is greater, in the same millisecond and with a clock set back", async () => {
  const uuid7 = await opened();
  const made = [5_000, 5_000, 1_000, 9_000].map((now) => at(now, uuid7));
  expect([...made].sort()).toEqual(made);
});

test("also on the page that is opened next", async () => {
  const before = at(5_000, await opened());
  const after = at(1_000, await opened());
  expect(after > before).toBe(true);
});
