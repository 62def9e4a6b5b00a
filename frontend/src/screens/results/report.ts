/* The file of a report that the server has issued. */
import type { IssuedReport } from "../../lib/record/issuedReport.ts";

/** Name of the file on the phone; nothing in it that a file system would refuse. */
export function fileName(report: IssuedReport): string {
  const number = report.number.replace(/[^\p{L}\p{N}.-]+/gu, "-").replace(/^[-.]+|-+$/g, "");
  return `report-${number}-r${report.revision}.pdf`;
}

/** The PDF as a file to hand on. Rejects with a sentence where the server does not give it. */
export async function fetchPdf(report: IssuedReport): Promise<File> {
  const answer = await fetch(report.pdf, { credentials: "same-origin" });
  if (!answer.ok) throw new Error("The report could not be fetched just now.");
  return new File([await answer.blob()], fileName(report), { type: "application/pdf" });
}

export function canShareFile(file: File): boolean {
  return navigator.canShare?.({ files: [file] }) ?? false;
}
