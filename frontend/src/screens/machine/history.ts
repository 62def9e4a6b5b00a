/* What this phone knows of a machine's past. */
import type { Desk } from "../../lib/db/database.ts";
import type { InspectionRow, MachineRow } from "../../lib/db/rows.ts";
import type { Assembly, Guide } from "../../lib/documents.ts";
import { grouped } from "../../lib/grouped.ts";
import { placeWords } from "../../components/words.ts";
import { latestFirst } from "../../lib/record/closed.ts";
import { axleOf } from "../../lib/record/figures.ts";
import { counted, firstUp } from "../../pictures/figures.ts";

/** Inspections of one machine, latest first; of one day, the one begun last first. */
export async function pastOf(desk: Desk, machine: string): Promise<InspectionRow[]> {
  const rows = await desk.inspections
    .filter((row) => row.machine === machine && row.header !== null)
    .toArray();
  return latestFirst(rows);
}

/** "Front: coil-over, 2 springs, reservoir": one line an axle. */
export function layoutLines(machine: MachineRow, guide: Guide | null): string[] {
  const assemblies = machine.assemblies as Assembly[];
  return grouped(assemblies, (one) => axleOf(one.at)).map(([axle, on]) => {
    const told = [...new Set(on.map((one) => damperWords(one, guide)))];
    return `${firstUp(placeWords(axle))}: ${told.join("; ")}`;
  });
}

function damperWords(one: Assembly, guide: Guide | null): string {
  const kind = guide?.damper_kinds.find(({ id }) => id === one.damper)?.name;
  const springs = Array.isArray(one["springs"]) ? one["springs"].length : null;
  return [
    kind ?? one.damper?.replaceAll("_", " ") ?? "damper not known",
    springs !== null && (springs === 0 ? "no spring" : counted(springs, "spring")),
    one["reservoir"] === true && "reservoir",
    one["electronic"] === true && "electronic",
  ]
    .filter(Boolean)
    .join(", ");
}

/** Two inspections to compare, of several listed latest first: as chosen where one chose, else the latest
 *  and the one before; of one that came back, when it went out. null with fewer than two. */
export function pairOf<T extends { id: string; purpose: string | null }>(
  visits: readonly T[],
  chosen: { now: string | null; before: string | null },
): { now: T; before: T; earlier: readonly T[] } | null {
  const now = visits.slice(0, -1).find((one) => one.id === chosen.now) ?? visits[0];
  const earlier = now ? visits.slice(visits.indexOf(now) + 1) : [];
  const wentOut =
    now?.purpose === "coming_back" ? earlier.find((one) => one.purpose === "going_out") : undefined;
  const before = earlier.find((one) => one.id === chosen.before) ?? wentOut ?? earlier[0];
  return now && before ? { now, before, earlier } : null;
}
