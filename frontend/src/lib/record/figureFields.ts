/* Which figures a layout can use, and which of them an assessment asks for. */
import type { AssemblyDraft } from "../db/rows.ts";
import type { Guide } from "../documents.ts";

export interface FigureField {
  path: string;
  text: string;
  units: string[];
  us_unit: string;
}
export interface FigureGroup {
  id: string;
  title: string;
  fields: FigureField[];
}

const LENGTH = { units: ["mm", "in"], us_unit: "in" };
/** Beyond the guide's: of the place itself, and of two springs on one damper. */
const PLACE: FigureField[] = [
  { path: "bearing_bore", text: "Bore of the bearing", ...LENGTH },
  {
    path: "tyre.pressure",
    text: "Tyre pressure by the maker",
    units: ["bar", "psi"],
    us_unit: "psi",
  },
];
const CROSSOVER: FigureField = { path: "crossover_gap", text: "Gap of the crossover", ...LENGTH };
const OF_COILS = /^(preload|static_compression|springs\[)/;

/** The groups for assemblies of one layout. `wanted` is shown even where it would not be offered. */
export function figureGroups(
  guide: Guide,
  some: readonly AssemblyDraft[],
  wanted: string,
): FigureGroup[] {
  const coils = some.some((one) => one.springs !== 0 && (one.damper !== "air" || !!one.springs));
  const air = some.some((one) => one.damper === "air");
  const springs = Math.max(0, ...some.map((one) => one.springs ?? 0));
  const offered = ({ path }: FigureField) =>
    path === wanted || ((air || path !== "air.pressure") && (coils || !OF_COILS.test(path)));
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
  groups.push({ id: "Bearings and tyre", title: "Bearings and tyre", fields: PLACE });
  if (springs > 1 || wanted === CROSSOVER.path) groups[0]?.fields.push(CROSSOVER);
  return groups
    .map((group) => ({ ...group, fields: group.fields.filter(offered) }))
    .filter((group) => group.fields.length > 0);
}

function asField({ name, ...rest }: { name: string } & Omit<FigureField, "path">): FigureField {
  return { path: name, ...rest, text: rest.text.charAt(0).toUpperCase() + rest.text.slice(1) };
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
    ...PLACE.map(({ path }) => path),
    CROSSOVER.path,
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
