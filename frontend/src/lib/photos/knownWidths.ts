/* What a length in a picture can be read against: the shaft, the wire, a coin of the chosen currency. */
import type { Place } from "../db/rows.ts";
import type { Guide, GuideReading, InspectionRecord, Quantity } from "../documents.ts";
import { textsOf } from "../record/draft.ts";

export interface KnownWidth {
  id: string;
  text: string;
  known: Quantity;
}
interface Walked {
  guide: Guide;
  row: { header: Pick<InspectionRecord, "assemblies"> | null; setup: { currency: string } };
}

/** The likeliest first; coins last, those of other currencies not at all. */
export function knownWidths({ guide, row }: Walked, place: Place): KnownWidth[] {
  const assembly = row.header?.assemblies?.find((one) => one.at === place.at);
  const shaft = (assembly?.["shaft"] as Record<string, unknown> | undefined)?.["diameter"];
  const springs = (assembly?.["springs"] as Record<string, unknown>[] | undefined) ?? [];
  const wires = springs.map((spring, i) => of(`wire ${i}`, "The coil's wire", spring["wire"]));
  const own = [of("shaft", "The shaft", shaft), ...wires].flatMap((one) => one ?? []);
  const coins = (guide.measuring?.coins ?? [])
    .filter((coin) => coin.currency === row.setup.currency)
    .map(({ name, diameter }) => ({
      id: `coin ${name}`,
      text: `Coin: ${name}, ${diameter}`,
      known: diameter,
    }));
  return [...own, ...coins];
}

function of(id: string, name: string, quantity: unknown): KnownWidth | null {
  if (quantity === undefined || quantity === null) return null;
  const [typed] = textsOf(quantity, "mm");
  return { id, text: `${name}, ${typed?.text} ${typed?.unit}`, known: quantity as Quantity };
}

/** Readings that a picture may give. */
export function fromPhotos(readings: readonly GuideReading[]): GuideReading[] {
  return readings.filter((one) => one.instruments.some(({ id }) => id === "photo"));
}
