/* The set-up as it starts, and as it is read back from a header another phone sent. */
import type { AssemblyDraft, Header, MachineRow, SetupDraft } from "../db/rows.ts";
import type { Assembly } from "../documents.ts";
import { draftOfAssembly } from "./figures.ts";
import { pointOnly } from "../typed/quantity.ts";

const STOPS_AT_HAND = ["on_wheels", "corner", "lifted"];

export interface Habits {
  units: "us" | "metric";
  name: string;
  role: string | null;
  purpose: string | null;
}

const ROLE_OF_PURPOSE: Record<string, string> = {
  intake: "shop",
  going_out: "yard",
  coming_back: "yard",
};

/** What one is at an inspection of that purpose, until something else is said; else `who` one is. */
export function usualRole(purpose: string | null, who: string | null): string | null {
  return ROLE_OF_PURPOSE[purpose ?? ""] ?? who;
}

export function emptySetup(today: Date, habits: Habits): SetupDraft {
  const distance = habits.units === "us" ? "mi" : "km";
  return {
    inspected_on: localDay(today),
    label: "",
    identification_number: "",
    model_year: "",
    kind: null,
    purpose: habits.purpose,
    units: habits.units,
    style: null,
    distance: "",
    distance_unit: distance,
    since_distance: "",
    since_unit: distance,
    since_seasons: "",
    since_unknown: false,
    price: "",
    currency: "USD",
    inspector_name: habits.name,
    inspector_role: habits.role,
    stops: STOPS_AT_HAND,
    walk: null,
    layout: [],
    conditions: {},
    conditions_asked: false,
    statements: [],
    cautions_read: false,
  };
}

/** The day where the phone is: a walk at 23:30 belongs to that evening. */
export function localDay(now: Date): string {
  const two = (n: number) => String(n).padStart(2, "0");
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}

/** The usual layout of a kind: its places, all else unknown. */
export function layoutFor(places: readonly string[]): AssemblyDraft[] {
  return places.map((at) => ({
    at,
    damper: null,
    springs: null,
    reservoir: null,
    electronic: null,
  }));
}

/** The set-up for a machine that was looked at before: all that is known of it stands there already.
 *  places: the usual ones of its kind, where no layout of its own is known. */
export function setupForMachine(
  machine: MachineRow,
  places: readonly string[],
  today: Date,
  habits: Habits,
): SetupDraft {
  const purpose = habits.purpose === "purchase" ? "periodic" : habits.purpose;
  const known = machine.assemblies as Assembly[];
  return {
    ...emptySetup(today, { ...habits, purpose }),
    label: machine.label,
    identification_number: machine.identification_number,
    kind: machine.kind,
    layout: known.length > 0 ? known.map(draftOfAssembly) : layoutFor(places),
  };
}

/** units: this phone's own, for an inspection begun on another one that does not show which it was read in. */
export function setupOf(
  header: Header,
  known: SetupDraft | undefined,
  units: Habits["units"] = "metric",
): SetupDraft {
  const base =
    known ??
    emptySetup(new Date(), {
      units: unitsIn(header) ?? units,
      name: "",
      role: null,
      purpose: null,
    });
  const machine = header.machine as Record<string, unknown>;
  const text = (value: unknown) => (value === undefined || value === null ? "" : String(value));
  const quantity = (value: unknown, unit: string) => asQuantity(value, unit);
  const use = (machine["use"] ?? {}) as Record<string, unknown>;
  const since = use["since_service"];
  const sinceParts =
    typeof since === "object" && since !== null ? (since as Record<string, unknown>) : {};
  const [distance, distance_unit] = quantity(machine["distance"], base.distance_unit);
  const [since_distance, since_unit] = quantity(sinceParts["distance"], base.since_unit);
  const price = (machine["asking_price"] ?? {}) as Record<string, unknown>;
  return {
    ...base,
    inspected_on: header.inspected_on,
    label: text(machine["label"]),
    identification_number: text(machine["identification_number"]),
    model_year: text(machine["model_year"]),
    kind: header.machine.kind,
    purpose: header.purpose ?? null,
    style: (use["style"] as string | undefined) ?? null,
    distance,
    distance_unit,
    since_distance,
    since_unit,
    since_seasons: text(sinceParts["seasons"]),
    since_unknown: since === "unknown",
    price: text(price["amount"]),
    currency: text(price["currency"]) || base.currency,
    inspector_name: header.inspector?.name ?? "",
    inspector_role: header.inspector?.role ?? null,
    stops: header.stops ?? base.stops,
    walk: known?.walk ?? "full",
    layout: (header.assemblies ?? []).map(draftOfAssembly),
    conditions: header.conditions ?? {},
    statements: (header.statements ?? []).map((one) => ({
      by: one.by,
      on: one.on ?? "",
      text: one.text,
    })),
    beyond: {
      machine: without(machine, MACHINE_ASKED),
      use: without(use, ["style", "since_service"]),
      since_service: without(sinceParts, ["distance", "seasons"]),
    },
  };
}

/** What a machine's distance is told in is what it is measured in: who takes over reads on in the same. */
function unitsIn({ machine }: Header): Habits["units"] | null {
  const { distance, use } = machine as {
    distance?: unknown;
    use?: { since_service?: { distance?: unknown } | string };
  };
  const since = typeof use?.since_service === "object" ? use.since_service.distance : undefined;
  const [, unit] = asQuantity(distance ?? since, "");
  return unit === "mi" ? "us" : unit === "km" ? "metric" : null;
}

const MACHINE_ASKED = [
  "label",
  "kind",
  "identification_number",
  "model_year",
  "distance",
  "asking_price",
  "use",
];

function without(table: Record<string, unknown>, known: string[]): Record<string, unknown> {
  return Object.fromEntries(Object.entries(table).filter(([key]) => !known.includes(key)));
}

function asQuantity(value: unknown, unit: string): [string, string] {
  if (typeof value === "object" && value !== null) {
    const { value: number, unit: own } = value as { value?: unknown; unit?: unknown };
    // Its point is a point: it is not asked about as if somebody had typed it here.
    const said = number === undefined ? "" : pointOnly(String(number));
    return [said, typeof own === "string" ? own : unit];
  }
  const cut = typeof value === "string" ? /^(.*\S)\s+([a-z]+)$/i.exec(value) : null;
  return cut ? [pointOnly(cut[1]!), cut[2]!] : ["", unit];
}
