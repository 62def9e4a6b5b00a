/* Which figures a layout can use, and which of them an assessment asks for. */
import type { AssemblyDraft } from "../db/rows.ts";
import { damperTaken } from "../guide/guides.ts";
import type { Guide, GuideFigure } from "../documents.ts";

export interface FigureField extends Omit<GuideFigure, "name"> {
  path: string;
}
export interface FigureGroup {
  id: string;
  title: string;
  fields: FigureField[];
}

/** The groups for assemblies of one layout. `wanted` is shown even where it would not be offered. */
export function figureGroups(
  guide: Guide,
  some: readonly AssemblyDraft[],
  wanted: string,
): FigureGroup[] {
  const springs = Math.max(0, ...some.map((one) => one.springs ?? 0));
  const without = (kind: string | null) =>
    kind === "air" || guide.damper_kinds.find(({ id }) => id === kind)?.springs_around_it === false;
  const there = {
    springs: some.some((one) => !!one.springs || (one.springs === null && !without(one.damper))),
    two_springs: springs > 1,
    air: some.some((one) => one.damper === "air"),
  };
  const offered = ({ path, where }: FigureField) =>
    path === wanted || where === null || there[where];
  const groups = guide.specifications.flatMap((group): FigureGroup[] => {
    if (!group.of_spring)
      return [{ id: group.group, title: group.group, fields: group.fields.map(asField) }];
    const spring = Number(/^springs\[(\d+)\]/.exec(wanted)?.[1] ?? -1) + 1;
    return Array.from({ length: Math.max(springs, spring) }, (_, i) => ({
      id: `${group.group} ${i + 1}`,
      title:
        springs > 1 ? `${group.group} ${i + 1}${i === 0 ? ", the upper one" : ""}` : group.group,
      fields: group.fields.map((field) =>
        asField({ ...field, name: `springs[${i}].${field.name}` }),
      ),
    }));
  });
  return groups
    .map((group) => ({ ...group, fields: group.fields.filter(offered) }))
    .filter((group) => group.fields.length > 0);
}

function asField({ name, ...rest }: GuideFigure): FigureField {
  return { path: name, ...rest, text: rest.text.charAt(0).toUpperCase() + rest.text.slice(1) };
}

/** Whether a corner may have coils to count: none on air, none inside a fork. kind: the machine's. */
export function mayHaveCoils(guide: Guide, kind: string | null, one: AssemblyDraft): boolean {
  if (one.springs !== null) return true;
  return one.damper !== "air" && damperTaken(guide, kind, one)?.springs_inside !== true;
}

export type Missing =
  { screen: "figures"; path: string } | { screen: "step" | "setup" | "conditions" };

/** Where a gap of a finding can be filled; null where no screen can ("a strip-down of the dampers").
 *  needs: `not_determined[].needs`; part: the finding's, "spring_2". */
export function whereToAdd(guide: Guide, needs: string, part: string | null): Missing | null {
  if (/^(readings\.|marks\[\])/.test(needs)) return { screen: "step" };
  if (needs.startsWith("machine.")) return { screen: "setup" };
  if (needs.startsWith("conditions.")) return { screen: "conditions" };
  const paths = [
    ...guide.specifications.flatMap((group) =>
      group.fields.map(({ name }) => (group.of_spring ? `springs[].${name}` : name)),
    ),
    "body.material",
    "electronic_mode",
    "springs[]",
  ];
  const spring = Number(/^spring_(\d+)$/.exec(part ?? "")?.[1] ?? 1) - 1;
  const found = paths
    .map((path) => ({ path, at: positionOf(path, needs) }))
    .filter(({ at }) => at >= 0)
    .sort((a, b) => a.at - b.at)[0]?.path;
  if (found === undefined) return null;
  const path = found === "springs[]" ? "springs[].wire" : found;
  return { screen: "figures", path: path.replace("[]", `[${spring}]`) };
}

/** Where a whole field name stands in a text. "rate" in "tyre.rate" is another field. */
function positionOf(path: string, text: string): number {
  const escaped = path.replace(/[.[\]]/g, "\\$&");
  return text.search(new RegExp(`(?<![\\w.])${escaped}(?![\\w.[])`));
}
