/* Whose limits they are; a judgement of ours is always spelt out. */

export const OUR_JUDGEMENT = "our judgement: no published source was found";

/** Source of each boundary ("A|B", "B|C", "C|D") from the rulebook's sentence, or one source for all. */
export function sourcesOf(source: string): { boundary: "A" | "B" | "C" | null; whose: string }[] {
  const parts = [...source.matchAll(/([ABC])\|[BCD]:\s*(.*?)(?=\s*[ABC]\|[BCD]:|$)/gs)];
  if (parts.length === 0) return [{ boundary: null, whose: spelt(source) }];
  return parts.map(([, letter, text]) => ({
    boundary: letter as "A" | "B" | "C",
    whose: spelt(text ?? ""),
  }));
}

function spelt(source: string): string {
  const text = source.trim().replace(/\.$/, "");
  if (/^(our )?judgement$/i.test(text) || text === "") return OUR_JUDGEMENT;
  return text.replace(/(?<!our )\bjudgement\b/gi, "our judgement");
}
