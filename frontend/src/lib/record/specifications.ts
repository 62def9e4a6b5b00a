/* What is known of a machine's dampers and springs, and what is said of them put over it, field by
   field: what is not said stays, what is said stands, null takes it back. The server merges the same
   way (inspect_app/machines/specifications.py); both are tested with one file of cases. */
import { isTable, same, type Table } from "./merge.ts";

/** What belongs to the place and outlives its damper; all else of an assembly is the damper's. */
const OF_THE_PLACE = ["at", "axle", "side", "motion_ratio", "ride_height", "tyre"];
/** What is of all springs of a damper together: with another number of springs it is of no use. */
const OF_THE_STACK = [
  "springs",
  "static_compression",
  "installed_length",
  "preload",
  "preload_pitch",
  "preload_range",
  "crossover_gap",
];

/** Assemblies as known with what comes put over them; told apart by their place. One sent as
 *  {at, gone: true} goes. Another kind of damper, or number of springs, leaves behind what was known of
 *  the old ones and is not told along with it. */
export function putOver(known: readonly unknown[], coming: readonly unknown[]): Table[] {
  const places = new Map(known.filter(isTable).map((one) => [String(one["at"]), one]));
  for (const one of coming.filter(isTable)) {
    const at = String(one["at"]);
    const { gone, ...told } = one;
    if (gone === true) places.delete(at);
    else places.set(at, tableOver(stillApplies(places.get(at) ?? {}, one), told, false));
  }
  return [...places.values()];
}

/** Two things said one after the other, as one: what they take back is still said. Where the second says
 *  of a place what leaves something behind, it stays a word of its own. */
export function saidTogether(first: readonly unknown[], second: readonly unknown[]): Table[] {
  const said = first.filter(isTable);
  for (const one of second.filter(isTable)) {
    const last = said.findLastIndex((other) => other["at"] === one["at"]);
    const before = said[last];
    if (before && leavesNothing(before, one)) said[last] = tableOver(before, one, true);
    else said.push(one);
  }
  return said;
}

function leavesNothing(before: Table, one: Table): boolean {
  if (before["gone"] === true || one["gone"] === true) return false;
  if ("damper" in one && one["damper"] !== before["damper"]) return false;
  const [springs, now] = [before["springs"], one["springs"]];
  return (
    !("springs" in one) ||
    (Array.isArray(springs) && Array.isArray(now) && springs.length === now.length)
  );
}

function stillApplies(known: Table, coming: Table): Table {
  const kept = (stays: (field: string) => boolean) =>
    Object.fromEntries(Object.entries(known).filter(([field]) => stays(field)));
  if (isNewKind(known, coming)) return kept((field) => OF_THE_PLACE.includes(field));
  if (isNewNumber(known, coming)) return kept((field) => !OF_THE_STACK.includes(field));
  return known;
}
function isNewKind(known: Table, coming: Table): boolean {
  return !!known["damper"] && !!coming["damper"] && known["damper"] !== coming["damper"];
}
function isNewNumber(known: Table, coming: Table): boolean {
  const [before, now] = [known["springs"], coming["springs"]];
  return Array.isArray(before) && Array.isArray(now) && before.length !== now.length;
}

function tableOver(known: Table, coming: Table, nulls: boolean): Table {
  const out = { ...known };
  for (const [field, value] of Object.entries(coming)) {
    const told = fieldOver(out[field], value, nulls);
    if (told === undefined) delete out[field];
    else out[field] = told;
  }
  return out;
}

function fieldOver(known: unknown, coming: unknown, nulls: boolean): unknown {
  if (coming === null || coming === undefined) return nulls ? null : undefined;
  if (Array.isArray(coming)) {
    const before: unknown[] = Array.isArray(known) && known.length === coming.length ? known : [];
    return coming.map((one, i) =>
      isTable(one) ? tableOver(isTable(before[i]) ? before[i] : {}, one, nulls) : (one as unknown),
    );
  }
  if (!isTable(coming)) return coming;
  const told = tableOver(isTable(known) ? known : {}, coming, nulls);
  return Object.keys(told).length > 0 ? told : undefined;
}

/** What was changed between the two, as it is said: only that, and null for what was taken away. Where
 *  the kind of damper or the number of springs is another, all that stands there is said with it. */
export function changesIn(base: readonly unknown[], mine: readonly unknown[]): Table[] {
  const before = new Map(base.filter(isTable).map((one) => [one["at"], one]));
  const now = mine.filter(isTable);
  const gone = [...before.keys()].filter((at) => !now.some((one) => one["at"] === at));
  return [
    ...now.flatMap((one) => {
      const was = before.get(one["at"]) ?? {};
      const changed = tableChanges(was, one);
      if (Object.keys(changed).length === 0) return [];
      const anew = isNewKind(was, one) || isNewNumber(was, one);
      return [{ at: one["at"], ...(anew ? { ...changed, ...one } : changed) }];
    }),
    ...gone.map((at) => ({ at, gone: true })),
  ];
}

function tableChanges(base: Table, mine: Table): Table {
  const fields = [...new Set([...Object.keys(base), ...Object.keys(mine)])];
  return Object.fromEntries(
    fields
      .filter((field) => !same(base[field], mine[field]))
      .map((field) => [field, fieldChanges(base[field], mine[field])]),
  );
}

function fieldChanges(base: unknown, mine: unknown): unknown {
  if (mine === undefined) return null;
  if (isTable(mine) && isTable(base)) return tableChanges(base, mine);
  if (Array.isArray(mine) && Array.isArray(base) && mine.length === base.length)
    return mine.map((one: unknown, i) =>
      isTable(one) && isTable(base[i]) ? tableChanges(base[i], one) : one,
    );
  return mine;
}
