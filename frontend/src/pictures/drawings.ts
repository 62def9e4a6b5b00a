/* Our line drawings by name, loaded when first needed: none of them is in the shell. */

type Sheet = Record<string, string>;

const kept = new Map<string, string>();

/** The drawing if its sheet is here already, so that a second look never flickers. */
export function drawingAtHand(name: string): string | undefined {
  return kept.get(name);
}

/** SVG text of one drawing; null when there is none of that name. Rejects when its sheet cannot be fetched. */
export async function loadDrawing(name: string): Promise<string | null> {
  if (!kept.has(name)) keep(await sheetOf(name));
  return kept.get(name) ?? null;
}

async function sheetOf(name: string): Promise<Sheet> {
  const whole = /^(machine|damper|caution)_/.test(name);
  return (whole ? await import("./sheet-maps.ts") : await import("./sheet-steps.ts")).default;
}

function keep(sheet: Sheet): void {
  for (const [path, svg] of Object.entries(sheet)) {
    kept.set(path.slice(path.lastIndexOf("/") + 1, -".svg".length), svg);
  }
}

/** Width over height of the paper a drawing stands on, known before it has arrived. */
export function paperOf(name: string): "step" | "damper" | "machine" {
  if (name.startsWith("damper_")) return "damper";
  return name.startsWith("machine_") ? "machine" : "step";
}

/**
 * The same drawing with a class on each named part.
 *
 * svg: a drawing of ours; classes: part -> class names. A part drawn in two layers gets it on both.
 */
export function withPartClasses(svg: string, classes: ReadonlyMap<string, string>): string {
  return svg.replace(/<g data-part="([a-z0-9_]+)"/g, (whole, part: string) => {
    const added = classes.get(part);
    return added === undefined ? whole : `${whole} class="${added}"`;
  });
}

/** Parts of a drawing and the checkpoints each stands for, in drawing order, each part once. */
export function partsOf(svg: string): { part: string; checkpoints: string[] }[] {
  const found = new Map<string, string[]>();
  for (const [, part, checks] of svg.matchAll(
    /<g data-part="([a-z0-9_]+)" data-checks="([a-z_ ]+)"/g,
  )) {
    if (part !== undefined && checks !== undefined) found.set(part, checks.split(" "));
  }
  return [...found].map(([part, checkpoints]) => ({ part, checkpoints }));
}
