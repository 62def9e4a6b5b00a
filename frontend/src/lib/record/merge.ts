/* What one person changed, put on what is known by now. Nothing else of it is touched. */
export type Table = Record<string, unknown>;

/** Three ways. base: what the person began with; mine: what they made of it; known: what is known by
 *  now, which may hold more than any screen shows. Only where mine differs from base does mine count;
 *  what mine took away is taken away. Assemblies are told apart by their place. */
export function mergeChanges<T>(base: unknown, mine: T, known: unknown): T {
  return merged(base, mine, known) as T;
}

function merged(base: unknown, mine: unknown, known: unknown): unknown {
  if (known === undefined) return mine;
  if (same(base, mine)) return known;
  if (isTable(mine) && isTable(known)) return tables(isTable(base) ? base : {}, mine, known);
  if (Array.isArray(mine) && Array.isArray(known)) return lists(base, mine, known);
  return mine;
}

function tables(base: Table, mine: Table, known: Table): Table {
  const keys = [...new Set([...Object.keys(known), ...Object.keys(mine)])];
  return Object.fromEntries(
    keys
      .map((key): [string, unknown] => [key, merged(base[key], mine[key], known[key])])
      .filter(([, value]) => value !== undefined),
  );
}

function lists(base: unknown, mine: unknown[], known: unknown[]): unknown[] {
  const before = Array.isArray(base) ? base : [];
  if (isByPlace(mine) && isByPlace(known)) {
    const at = (list: unknown[], place: unknown) =>
      list.find((one) => isTable(one) && one["at"] === place);
    const places = new Set([...known, ...mine].map((one) => one["at"]));
    return [...places].flatMap((place) => {
      const one = merged(at(before, place), at(mine, place), at(known, place));
      return one === undefined ? [] : [one];
    });
  }
  // Springs and statements have no names: told apart by their place in the list while none came or went.
  if (mine.length !== known.length || ![...mine, ...known].every(isTable)) return mine;
  return mine.map((one, i) => merged(before[i], one, known[i]));
}

function isByPlace(list: unknown[]): list is Table[] {
  return list.every((one) => isTable(one) && typeof one["at"] === "string");
}

/** A quantity is one thing: the doubt of an old reading says nothing of a new one. */
export function isTable(value: unknown): value is Table {
  return (
    typeof value === "object" &&
    value !== null &&
    !Array.isArray(value) &&
    !["value", "values", "low", "amount"].some((key) => key in value)
  );
}

export function same(a: unknown, b: unknown): boolean {
  return JSON.stringify(a) === JSON.stringify(b);
}
