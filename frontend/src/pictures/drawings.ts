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

/** How one part is shown: class names, and a paint in place of the paper ("url(#h-c)", "none"). */
export interface PartLook {
  className: string;
  paint?: string | undefined;
}

/**
 * The same drawing with a look on each named part; a part drawn in two layers gets it on both.
 *
 * Paint goes onto the shapes as attributes: a hatch named in a style sheet is looked for there by some
 * browsers, not in the page.
 */
export function withParts(svg: string, looks: ReadonlyMap<string, PartLook>): string {
  const drawing = parsed(svg);
  for (const [part, look] of looks) {
    for (const group of drawing.querySelectorAll(`[data-part="${part}"]`)) wear(group, look);
  }
  return new XMLSerializer().serializeToString(drawing);
}

/**
 * A machine from above, front up, as the inside of a 120 × 240 picture, each wheel with the look of its place;
 * null where the drawing is none of a machine.
 */
export function planOf(svg: string, wheels: ReadonlyMap<string, PartLook>): string | null {
  const plan = parsed(svg).querySelector('[data-view="top"]');
  if (plan === null) return null;
  for (const [at, look] of wheels) {
    for (const wheel of plan.querySelectorAll(`[data-at="${at}"]`)) wear(wheel, look);
  }
  return new XMLSerializer().serializeToString(plan);
}

/** Places at which a machine drawing shows a wheel. */
export function wheelPlaces(svg: string): string[] {
  return [...svg.matchAll(/data-part="wheel" data-at="([a-z_]+)"/g)].map(([, at]) => at ?? "");
}

function parsed(svg: string): SVGElement {
  return new DOMParser().parseFromString(svg, "image/svg+xml")
    .documentElement as unknown as SVGElement;
}

function wear(group: Element, look: PartLook): void {
  group.setAttribute("class", look.className);
  if (look.paint === undefined) return;
  for (const shape of group.querySelectorAll("*")) {
    for (const name of ["fill", "stroke"]) {
      if (shape.getAttribute(name)?.startsWith("var(--fill")) shape.setAttribute(name, look.paint);
    }
  }
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
