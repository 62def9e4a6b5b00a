/* The record is derived, never stored twice: the header and the answers that count now. */
import type { Header, InspectionRow, RevisionRow, SetupDraft } from "../db/rows.ts";
import type { InspectionRecord, MachineKind, Purpose, StopId } from "../documents.ts";
import { readMoney } from "../typed/money.ts";
import { A_DISTANCE, AN_AMOUNT } from "../typed/allowed.ts";
import { isBlank, readTyped } from "../typed/quantity.ts";
import { readYear } from "../typed/year.ts";
import { labelOf } from "./called.ts";
import { currentByStep } from "./current.ts";
import { assemblyOf } from "./figures.ts";

export function recordOf(row: InspectionRow, revisions: RevisionRow[]): InspectionRecord | null {
  if (!row.header) return null;
  const observations = [...currentByStep(revisions).values()].flatMap(([newest]) =>
    newest?.observation ? [{ id: newest.id, ...newest.observation }] : [],
  );
  return { ...row.header, id: row.id, observations };
}

/** The record's header from the set-up as typed, or null while the kind of machine is not said. */
export function headerOf(setup: SetupDraft): Header | null {
  if (setup.kind === null) return null;
  const inspector = {
    ...(setup.inspector_name.trim() && { name: setup.inspector_name.trim() }),
    ...(setup.inspector_role && { role: setup.inspector_role }),
  };
  return {
    format: "suspension-record/1",
    inspected_on: setup.inspected_on,
    ...(setup.purpose && { purpose: setup.purpose as Purpose }),
    ...(Object.keys(inspector).length > 0 && { inspector }),
    stops: setup.stops as StopId[],
    ...(Object.keys(setup.conditions).length > 0 && { conditions: setup.conditions }),
    machine: machineOf(setup, setup.kind as MachineKind),
    ...(setup.statements.length > 0 && { statements: setup.statements }),
    assemblies: setup.layout.map(assemblyOf),
  };
}

function machineOf(setup: SetupDraft, kind: MachineKind): InspectionRecord["machine"] {
  const year = readYear(setup.model_year);
  const price = readMoney(setup.price, setup.currency);
  const distance = distanceOf(setup.distance, setup.distance_unit);
  const use = useOf(setup);
  return {
    ...setup.beyond?.machine,
    label: labelOf(setup),
    kind,
    ...(setup.identification_number.trim() && {
      identification_number: setup.identification_number.trim(),
    }),
    ...(year !== null && { model_year: year }),
    ...(distance && { distance }),
    ...(setup.purpose === "purchase" &&
      price.ok && { asking_price: { amount: price.amount, currency: setup.currency } }),
    ...(Object.keys(use).length > 0 && { use }),
  };
}

function useOf(setup: SetupDraft): Record<string, unknown> {
  const distance = distanceOf(setup.since_distance, setup.since_unit);
  const seasons = isBlank(setup.since_seasons)
    ? null
    : readTyped(setup.since_seasons, "1", AN_AMOUNT);
  const since = {
    ...setup.beyond?.since_service,
    ...(distance && { distance }),
    ...(seasons?.ok && "value" in seasons.quantity && { seasons: seasons.quantity.value }),
  };
  const known = Object.keys(since).length > 0;
  return {
    ...setup.beyond?.use,
    ...(setup.style && { style: setup.style }),
    ...(setup.since_unknown ? { since_service: "unknown" } : known && { since_service: since }),
  };
}

function distanceOf(text: string, unit: string): { value: string; unit: string } | null {
  if (isBlank(text)) return null;
  const read = readTyped(text, unit, A_DISTANCE);
  return read.ok && "value" in read.quantity ? read.quantity : null;
}
