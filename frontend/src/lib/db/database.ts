import Dexie, { type EntityTable, type Table } from "dexie";
import type {
  DraftRow,
  GuideRow,
  InspectionRow,
  MachineRow,
  MetaRow,
  OutboxRow,
  PhotoMarksRow,
  PhotoRow,
  RevisionRow,
} from "./rows.ts";

/** One person's work on this phone. Each person has a database of their own, so that no query
 *  can show one person's rows to another. */
export class Desk extends Dexie {
  guides!: EntityTable<GuideRow, "id">;
  machines!: EntityTable<MachineRow, "id">;
  inspections!: EntityTable<InspectionRow, "id">;
  drafts!: Table<DraftRow, [string, string]>;
  revisions!: EntityTable<RevisionRow, "id">;
  photos!: EntityTable<PhotoRow, "id">;
  photo_marks!: EntityTable<PhotoMarksRow, "id">;
  outbox!: EntityTable<OutboxRow, "seq">;
  meta!: EntityTable<MetaRow, "key">;

  constructor(readonly id: string) {
    super(`inspect-desk:${id}`);
    // Numbered and append-only: a change of shape is version 2, never an edit of this.
    this.version(1).stores({
      guides: "id",
      machines: "id",
      inspections: "id",
      drafts: "[inspection+step], inspection",
      revisions: "id, inspection, [inspection+checkpoint]",
      photos: "id, inspection, sha256",
      outbox: "++seq, id, subject, state, inspection",
      meta: "key",
    });
    this.version(2).stores({ photo_marks: "id, inspection, [inspection+sha256]" });
  }
}
