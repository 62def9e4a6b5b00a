import type { Finding } from "../../lib/documents.ts";

/** What a finding could not be told for want of something, each once: several marks may want the same. */
export function gapsOf(finding: Pick<Finding, "not_determined">): Finding["not_determined"] {
  const known = new Map(finding.not_determined.map((gap) => [`${gap.what} ${gap.needs}`, gap]));
  return [...known.values()];
}
