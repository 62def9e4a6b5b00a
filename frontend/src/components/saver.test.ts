import { afterEach, beforeEach, expect, test, vi } from "vitest";
import { Saver } from "./saver.ts";

let written: number;
let saver: Saver;
beforeEach(() => {
  vi.useFakeTimers();
  written = 0;
  saver = new Saver(async () => void (written += 1));
});
afterEach(async () => {
  await saver.close();
  vi.useRealTimers();
});

test("what is typed is written within 150 ms", async () => {
  saver.touch();
  await vi.advanceTimersByTimeAsync(150);
  expect(written).toBe(1);
});

test("typing on without a pause does not put it off", async () => {
  for (let i = 0; i < 10; i++) {
    saver.touch();
    await vi.advanceTimersByTimeAsync(50);
  }
  expect(written).toBeGreaterThanOrEqual(3);
});

test.each(["pagehide", "beforeunload"])("%s writes at once", async (event) => {
  saver.touch();
  window.dispatchEvent(new Event(event));
  await vi.advanceTimersByTimeAsync(0);
  expect(written).toBe(1);
});

test("a screen that is gone is told nothing more", async () => {
  await saver.close();
  window.dispatchEvent(new Event("pagehide"));
  await vi.advanceTimersByTimeAsync(500);
  expect(written).toBe(0);
});
