/** Place of the tick before check `i` on a rule 358 wide, one decimal. */
export function xOnRule(i: number, total: number): number {
  return Math.round((1 + (i * 350) / Math.max(total, 1)) * 10) / 10;
}

/** Unbroken stretches of checks done, as [first, one past last]; a check not reached breaks a stretch. */
export function runsOf(
  done: number | readonly number[],
  missed: readonly number[],
  total: number,
): [number, number][] {
  const isDone = (i: number) => (typeof done === "number" ? i < done : done.includes(i));
  const runs: [number, number][] = [];
  for (let i = 0; i < total; i += 1) {
    if (!isDone(i) || missed.includes(i)) continue;
    const last = runs.at(-1);
    if (last?.[1] === i) last[1] = i + 1;
    else runs.push([i, i + 1]);
  }
  return runs;
}
