/* Inches beside the engine's millimetres, for those who measured in inches. Nothing is decided by them. */
import type { InspectionRecord } from "../../lib/documents.ts";
import { figure } from "../../pictures/figures.ts";

const MM_PER_INCH = 25.4; // exact, by definition
const IN_INCHES = /"unit":"in"|\d\s*(?:in|\\"|″)"/;

/** Whether any reading or mark was written in inches. */
export function measuredInInches(record: Pick<InspectionRecord, "observations">): boolean {
  return (record.observations ?? []).some(({ readings, marks }) =>
    IN_INCHES.test(JSON.stringify([readings ?? {}, marks ?? []])),
  );
}

/** 51 as " (2.0 in)": as many figures as the millimetres are written with, two at least. */
export function inchesBeside(mm: number | { low: number; high: number }): string {
  return typeof mm === "number"
    ? `\u00a0(${inches(mm)}\u00a0in)`
    : `\u00a0(${inches(mm.low)} to ${inches(mm.high)}\u00a0in)`;
}

function inches(mm: number): string {
  const written = figure(Math.abs(mm)).replace(/^[0.]+|[.,]/g, "").length;
  const figures = Math.min(Math.max(written, 2), 3);
  return new Intl.NumberFormat("en", {
    minimumSignificantDigits: figures,
    maximumSignificantDigits: figures,
  }).format(mm / MM_PER_INCH);
}
