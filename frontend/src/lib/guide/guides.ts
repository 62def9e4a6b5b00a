/* What to check. The phone keeps a guide for the usual layout of each kind, and one for each
   inspection at hand; without a signal it takes what it has. */
import { NoConnection, Refused, SignedOut, type Server } from "../api/call.ts";
import type { Desk } from "../db/database.ts";
import type { GuideRow, Header } from "../db/rows.ts";
import type {
  Guide,
  GuideStep,
  GuideStop,
  InspectionRecord,
  Purpose,
  StopId,
} from "../documents.ts";
import type { PhoneEngine } from "../engine/phoneEngine.ts";

/** The guide for a machine; null where the engine refuses what is said of it. */
export type MakeGuide = (record: InspectionRecord) => Promise<Guide | null>;

/** Throws NoEngine where this phone's engine cannot answer. */
export function phoneGuide(engine: PhoneEngine): MakeGuide {
  return async (record) => {
    const answer = await engine.ask("guide", JSON.stringify(record));
    return "text" in answer ? (JSON.parse(answer.text) as Guide) : null;
  };
}

/** Throws NoConnection or SignedOut. */
export function serverGuide(server: Server): MakeGuide {
  return async (record) => {
    try {
      const guide = await server.call("/api/guide", { method: "POST", json: record });
      return isGuide(guide) ? guide : null;
    } catch (error) {
      if (error instanceof Refused) return null;
      throw error;
    }
  };
}

/** Fetch the guides of all kinds and keep them. Returns false where nothing could be fetched. */
export async function refreshGuides(desk: Desk, server: Server): Promise<boolean> {
  try {
    const body = (await server.call("/api/guides")) as Record<string, unknown>;
    const guides = Object.entries(body).filter((pair): pair is [string, Guide] => isGuide(pair[1]));
    const kept_at = new Date().toISOString();
    await desk.guides.bulkPut(
      guides.map(([kind, guide]) => ({ id: `kind:${kind}`, guide, made_for: "", kept_at })),
    );
    return guides.length > 0;
  } catch (error) {
    if (error instanceof NoConnection || error instanceof SignedOut) return false;
    throw error;
  }
}

/** Any guide at hand: kinds of machine and damper are the same in all. */
export async function anyGuide(desk: Desk): Promise<Guide | null> {
  const rows = await desk.guides.where("id").startsWith("kind:").toArray();
  return rows.find(({ guide }) => isGuide(guide))?.guide ?? null;
}

/** What a guide depends on: the machine, its layout, the stops and the purpose; no figures. */
export function layoutPrint({ machine, assemblies, stops, purpose }: Header): string {
  const layout = assemblies?.map((one) => [
    one.at,
    one.damper,
    Array.isArray(one["springs"]) ? one["springs"].length : null,
    one["reservoir"],
    one["electronic"],
  ]);
  return JSON.stringify([machine.kind, layout, stops, purpose]);
}

/** Have the guide of this very machine made, and keep it. A refusal leaves the guide that is there. */
export async function refreshGuideFor(
  desk: Desk,
  make: MakeGuide,
  record: InspectionRecord,
): Promise<void> {
  const guide = await make({ ...record, observations: [] });
  if (guide === null) return;
  const made_for = layoutPrint(record);
  // An answer that was overtaken by a later change of the set-up is for another machine.
  const header = (await desk.inspections.get(record.id))?.header;
  if (!header || layoutPrint(header) !== made_for) return;
  await desk.guides.put({
    id: `inspection:${record.id}`,
    guide,
    made_for,
    kept_at: new Date().toISOString(),
  });
}

export async function guideFor(
  desk: Desk,
  inspection: string,
  kind: string,
): Promise<Guide | null> {
  return (await guideRowFor(desk, inspection, kind))?.guide ?? null;
}

export async function guideRowFor(
  desk: Desk,
  inspection: string,
  kind: string,
): Promise<GuideRow | null> {
  const rows = await desk.guides.bulkGet([
    `inspection:${inspection}`,
    `kind:${kind}`,
    "kind:other",
  ]);
  return rows.find((row) => row !== undefined && isGuide(row.guide)) ?? null;
}

/** Every check this machine has, those of stops not chosen or hidden for the purpose too. */
export function allSteps({ steps, other_steps, hidden_steps }: Guide): GuideStep[] {
  return [...steps, ...other_steps, ...hidden_steps];
}

/** Every stop there is, in walking order: what a purpose hides comes last. */
export function allStops({ stops, hidden_stops }: Guide): GuideStop[] {
  return [...stops, ...hidden_stops];
}

/** The stops that a purpose offers, and those chosen already; every one while none is said. */
export function stopsFor(guide: Guide, purpose: Purpose | null, chosen: string[]): GuideStop[] {
  const offered = purpose === null ? null : guide.purposes[purpose].offered;
  return allStops(guide).filter(
    ({ id }) => offered === null || offered.includes(id) || chosen.includes(id),
  );
}

/** The stops and how much of them one usually begins with, by purpose; the guide's to say. */
export function usualWalk(
  guide: Guide,
  purpose: Purpose | null,
): { stops?: StopId[]; walk: "short" | "full" } {
  if (purpose === null) return { walk: "full" };
  const { usual, walk = "full" } = guide.purposes[purpose];
  return { stops: usual, walk };
}

/** The steps of the chosen stops in walking order, whatever stops the guide was made for. */
export function stepsOf(guide: Guide, stops: readonly string[]): GuideStep[] {
  const all = allSteps(guide);
  return allStops(guide)
    .filter((stop) => stops.includes(stop.id))
    .flatMap((stop) => all.filter((step) => step.stop === stop.id));
}

/** The damper at a place as the engine takes it: where its kind was not said, the usual one there. */
export function damperTaken(
  guide: Guide,
  kind: string | null,
  { at, damper }: { at: string; damper?: string | null | undefined },
): Guide["damper_kinds"][number] | undefined {
  const usual = guide.machine_kinds.find(({ id }) => id === kind);
  const taken = damper ?? usual?.usual_damper_at[at] ?? usual?.usual_damper;
  return guide.damper_kinds.find(({ id }) => id === taken);
}

/** A guide as this program reads it; one an older program kept has no purposes. */
function isGuide(body: unknown): body is Guide {
  const guide = body as Partial<Guide> | null;
  return guide?.format === "suspension-guide/1" && guide.purposes !== undefined;
}
