/* What one person's database on this phone holds. */
import type { Assessment, Guide, InspectionRecord, Observation, PhotoMark } from "../documents.ts";
import type { StepDraft, TypedText } from "../record/draft.ts";

export type Header = Omit<InspectionRecord, "id" | "observations">;
/** Where a check is done; the key of everything that is said about one step. */
export interface Place {
  checkpoint: string;
  at: string | null;
  part: string | null;
}
export interface GuideRow {
  id: string; // "kind:quad" (usual layout) or "inspection:<id>"
  /** What an inspection's own guide was made for; "" for a kind's. */
  made_for: string;
  guide: Guide;
  kept_at: string;
}
export interface MachineRow {
  id: string;
  label: string;
  kind: string;
  identification_number: string;
  assemblies: unknown[];
}
export interface InspectionRow {
  id: string;
  machine: string | null;
  /** null until the kind of machine is chosen: a record cannot be without one. */
  header: Header | null;
  setup: SetupDraft;
  began_at: string;
  changed_at: string;
  closed_at: string | null;
  closed_by?: string | null;
  /** What it came to when it was closed, as the server froze it: null where the engine refused it;
   *  absent until the server was asked. */
  came_to?: CameTo | null;
}
/** The engine's own words of a closed inspection, for lists. */
export interface CameTo {
  words: string;
  provisional: boolean;
  verdict: Assessment["verdict"]["code"];
  zone: Assessment["machine"]["zone"];
  rulebook: string;
  service?: Assessment["service"]; // absent where it was closed before this was kept
}
/** The set-up as typed: texts stay texts, whatever the engine will make of them. */
export interface SetupDraft {
  inspected_on: string; // the day where the phone is, not in UTC
  label: string;
  identification_number: string;
  model_year: string;
  kind: string | null;
  purpose: string | null;
  units: "us" | "metric";
  style: string | null;
  distance: string;
  distance_unit: string;
  since_distance: string;
  since_unit: string;
  since_seasons: string;
  since_unknown: boolean;
  price: string;
  currency: string;
  inspector_name: string;
  inspector_role: string | null;
  stops: string[];
  /** null until one is chosen or usual for the purpose; taken as full. */
  walk: "short" | "full" | null;
  layout: AssemblyDraft[];
  conditions: Record<string, unknown>;
  conditions_asked: boolean;
  statements: { by: string; on: string; text: string }[];
  cautions_read: boolean;
  /** Stops whose cautions were read; rows of older versions have none: all that were chosen. */
  cautions_read_of?: string[];
  /** What a record from elsewhere said that no screen here asks: kept and sent back as it came. */
  beyond?: Record<"machine" | "use" | "since_service", Record<string, unknown>>;
}
/** One assembly's layout; null = don't know. */
export interface AssemblyDraft {
  at: string;
  damper: string | null;
  springs: number | null;
  reservoir: boolean | null;
  electronic: boolean | null;
  /** Known figures by path, "shaft.diameter", "springs[0].wire"; rows of older versions have none. */
  figures?: Record<string, FigureDraft>;
  /** Words by path: "bearing", "body.material". */
  words?: Record<string, string>;
}
/** A figure as typed; `given` is what a record from elsewhere said, whole, until it is typed over. */
export interface FigureDraft extends TypedText {
  given?: unknown;
  /** Stands as typed, but the guide says that no such thing can be: not sent. */
  refused?: boolean;
}
export interface DraftRow {
  inspection: string;
  step: string;
  draft: StepDraft;
  changed_at: string;
}
export interface RevisionRow extends Place {
  id: string;
  inspection: string;
  replaces: string[];
  recorded_at: string;
  /** Server's position; 0 while only this phone knows it. */
  position: number;
  by: string | null;
  /** null takes the answer back. */
  observation: Omit<Observation, "id"> | null;
}
export interface PhotoRow extends Place {
  id: string;
  inspection: string;
  sha256: string;
  bytes: ArrayBuffer;
  type: string;
  source: "camera" | "gallery";
  name: string;
  taken_at: string;
}
/** What is drawn on one picture at one place: a revision, like an answer. */
export interface PhotoMarksRow extends Place {
  id: string;
  inspection: string;
  sha256: string;
  replaces: string[];
  recorded_at: string;
  /** Server's position; 0 while only this phone knows it. */
  position: number;
  marks: PhotoMark[];
}
export type ChangeKind =
  "machine" | "inspection" | "observation" | "photo" | "photo_marks" | "sign_off" | "close";
export interface OutboxRow {
  seq?: number;
  id: string; // the change's id; for photo bytes "bytes:<sha256>"
  kind: ChangeKind | "photo_bytes";
  body: Record<string, unknown>;
  inspection: string | null;
  /** What the row is about; a later unsent change of the same subject takes its place. */
  subject: string;
  state: "waiting" | "refused";
  why: string;
  /** Once tried, its body is frozen: the same id with another body would be refused. */
  tried: 0 | 1;
  size: number;
}
export interface MetaRow {
  key: string;
  value: unknown;
}
