import { expect, test } from "vitest";
import type { Finding } from "../lib/documents.ts";
import { byRisk, numbered } from "./numbered.ts";

const finding = (id: string, zone: string, risk: string) =>
  ({ id, zone, risk }) as unknown as Finding;

test("worn findings are numbered by risk, then zone, then as the engine lists them", () => {
  const found = numbered({
    findings: [
      finding("a", "C", "medium"),
      finding("b", "A", "low"),
      finding("c", "C", "serious"),
      finding("d", "D", "serious"),
      finding("e", "B", "low"),
      finding("f", "C", "medium"),
      finding("g", "?", "low"),
    ],
  });
  expect(found.map(({ number, finding: { id } }) => `${number}${id}`)).toEqual([
    "1d",
    "2c",
    "3a",
    "4f",
  ]);
  expect(byRisk(found).map(({ risk, found: its }) => [risk, its.length])).toEqual([
    ["serious", 2],
    ["medium", 2],
  ]);
});
