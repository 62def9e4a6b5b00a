import { expect, test } from "vitest";
import type { Finding } from "../lib/documents.ts";
import { byRisk, numbered } from "./numbered.ts";

const finding = (id: string, number: number | null, risk: string) =>
  ({ id, number, risk }) as unknown as Finding;

test("findings stand in the order of the engine's numbers, unnumbered ones left out", () => {
  const found = numbered({
    findings: [
      finding("a", 3, "medium"),
      finding("b", null, "low"),
      finding("c", 2, "serious"),
      finding("d", 1, "serious"),
      finding("e", 4, "medium"),
    ],
  });
  expect(found.map(({ number, finding: { id } }) => `${number}${id}`)).toEqual([
    "1d",
    "2c",
    "3a",
    "4e",
  ]);
  expect(byRisk(found).map(({ risk, found: its }) => [risk, its.length])).toEqual([
    ["serious", 2],
    ["medium", 2],
  ]);
});
