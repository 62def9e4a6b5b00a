/** Items by what `by` says of them, groups in order of first appearance. Map.groupBy is not yet on
 *  every phone that is still in use. */
export function grouped<K, T>(items: readonly T[], by: (item: T) => K): [K, T[]][] {
  const groups = new Map<K, T[]>();
  for (const item of items) {
    const key = by(item);
    const group = groups.get(key);
    if (group) group.push(item);
    else groups.set(key, [item]);
  }
  return [...groups];
}
