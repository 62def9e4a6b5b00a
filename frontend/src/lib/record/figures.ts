/* What a manual or a tape tells of a damper and its springs: typed by the field's path in the
   record's assembly ("shaft.diameter", "springs[0].wire"), and back. */
import type { AssemblyDraft, FigureDraft } from "../db/rows.ts";
import type { Assembly } from "../documents.ts";
import { isBlank, readTyped } from "../typed/quantity.ts";
import { textsOf } from "./draft.ts";

/** Fields of an assembly that are words, not quantities. */
const WORDS = [
  "axle",
  "side",
  "bearing",
  "body.material",
  "tyre.size",
  "electronic_mode",
  "note",
] as const;
/** Said by the layout itself. */
const LAYOUT = ["at", "damper", "springs", "reservoir", "electronic"];

type Table = Record<string, unknown>;

/** The record's assembly: the layout, and every figure that can be read. The others stay typed. */
export function assemblyOf(draft: AssemblyDraft): Assembly {
  const assembly: Assembly = {
    at: draft.at,
    ...(draft.damper && { damper: draft.damper as NonNullable<Assembly["damper"]> }),
    ...(draft.springs !== null && { springs: Array.from({ length: draft.springs }, () => ({})) }),
    ...(draft.reservoir !== null && { reservoir: draft.reservoir }),
    ...(draft.electronic !== null && { electronic: draft.electronic }),
  };
  for (const [path, word] of Object.entries(draft.words ?? {}))
    if (word.trim()) put(assembly, path, word.trim());
  for (const [path, typed] of Object.entries(draft.figures ?? {})) {
    const value = valueOf(typed);
    if (value !== null) put(assembly, path, value);
  }
  return assembly;
}

function valueOf(typed: FigureDraft): unknown {
  if (typed.given !== undefined) return typed.given;
  if (isBlank(typed.text)) return null;
  const read = readTyped(typed.text, typed.unit);
  return read.ok && !typed.refused ? read.quantity : null;
}

/** "shaft.diameter" -> {"shaft": {"diameter": …}}; what is said of a spring that is not there is not put. */
function put(assembly: Table, path: string, value: unknown): void {
  const spring = /^springs\[(\d+)\]\.(\w+)$/.exec(path);
  if (spring) {
    const one = (assembly["springs"] as Table[] | undefined)?.[Number(spring[1])];
    if (one) one[spring[2]!] = value;
    return;
  }
  const [group, key] = path.split(".");
  if (key === undefined) assembly[group!] = value;
  else assembly[group!] = { ...(assembly[group!] as Table | undefined), [key]: value };
}

/** The way back, from a record another phone or a file gave. Nothing of it is lost: a quantity keeps
 *  its doubt until somebody types over it. */
export function draftOfAssembly(assembly: Assembly): AssemblyDraft {
  const springs = assembly["springs"];
  const flag = (value: unknown) => (typeof value === "boolean" ? value : null);
  const draft: Required<AssemblyDraft> = {
    at: assembly.at,
    damper: assembly.damper ?? null,
    springs: Array.isArray(springs) ? springs.length : null,
    reservoir: flag(assembly["reservoir"]),
    electronic: flag(assembly["electronic"]),
    figures: {},
    words: {},
  };
  for (const [path, value] of leaves(assembly)) {
    if ((WORDS as readonly string[]).includes(path)) draft.words[path] = String(value);
    else draft.figures[path] = { ...textsOf(value, "1")[0]!, given: value };
  }
  return draft;
}

function leaves(assembly: Table): [string, unknown][] {
  const springs = Array.isArray(assembly["springs"]) ? (assembly["springs"] as Table[]) : [];
  const own = Object.entries(assembly).filter(([key]) => !LAYOUT.includes(key));
  return [
    ...own.flatMap(([key, value]): [string, unknown][] =>
      isGroup(value)
        ? Object.entries(value).map(([inner, one]) => [`${key}.${inner}`, one])
        : [[key, value]],
    ),
    ...springs.flatMap((spring, i) =>
      Object.entries(spring).map(([key, one]): [string, unknown] => [`springs[${i}].${key}`, one]),
    ),
  ].filter(([, value]) => value !== null && value !== undefined);
}

function isGroup(value: unknown): value is Table {
  return (
    typeof value === "object" &&
    value !== null &&
    !Array.isArray(value) &&
    !("value" in value || "low" in value)
  );
}

// ---- one axle, or one corner of it ----

/** "front_left" -> "front"; a place without sides is its own axle. */
export function axleOf(at: string): string {
  return at.replace(/_(left|right)$/, "");
}

/** The assemblies a scope speaks of: both of an axle, or one corner. */
export function inScope(layout: readonly AssemblyDraft[], scope: string): AssemblyDraft[] {
  return layout.filter((one) => one.at === scope || axleOf(one.at) === scope);
}

/** What all of them say alike, or undefined with `differ` where they do not. */
export function alike<T>(
  some: readonly AssemblyDraft[],
  read: (one: AssemblyDraft) => T | undefined,
): { value: T | undefined; differ: boolean } {
  const values = some.map(read);
  const differ = values.some((one) => JSON.stringify(one) !== JSON.stringify(values[0]));
  return { value: differ ? undefined : values[0], differ };
}

/** The layout with one change in every assembly of the scope. */
export function changeIn(
  layout: readonly AssemblyDraft[],
  scope: string,
  change: (one: AssemblyDraft) => Partial<AssemblyDraft>,
): AssemblyDraft[] {
  const those = inScope(layout, scope);
  return layout.map((one) => (those.includes(one) ? { ...one, ...change(one) } : one));
}

export function typeFigure(
  layout: readonly AssemblyDraft[],
  scope: string,
  path: string,
  typed: FigureDraft,
): AssemblyDraft[] {
  return changeIn(layout, scope, (one) => ({ figures: { ...one.figures, [path]: typed } }));
}

export function sayWord(
  layout: readonly AssemblyDraft[],
  scope: string,
  path: string,
  word: string,
): AssemblyDraft[] {
  return changeIn(layout, scope, (one) => ({ words: { ...one.words, [path]: word } }));
}

/** How many figures stand in a layout, for "12 given". */
export function countFigures(layout: readonly AssemblyDraft[]): number {
  const filled = (one: AssemblyDraft) =>
    Object.values(one.figures ?? {}).filter((typed) => !isBlank(typed.text)).length +
    FIGURE_WORDS.filter((path) => one.words?.[path]?.trim()).length;
  return layout.reduce((sum, one) => sum + filled(one), 0);
}
const FIGURE_WORDS = ["bearing", "body.material", "tyre.size"];
