/* What is being written on one step: shown from memory, kept on disk as it is typed. */
import { Saver } from "../../components/saver.ts";
import { spoken } from "../../components/spoken.svelte.ts";
import type { GuideCheckpoint, GuideStep } from "../../lib/documents.ts";
import { dropPhoto, keepPhoto, NotKept } from "../../lib/photos/keep.ts";
import {
  draftOf,
  EMPTY_DRAFT,
  observationOf,
  type StepDraft,
  typedIn,
} from "../../lib/record/draft.ts";
import { keepDraft, type Keeping } from "../../lib/record/keep.ts";
import { ruleOf } from "../../lib/typed/allowed.ts";
import { isBlank, readTyped } from "../../lib/typed/quantity.ts";
import { phone } from "../../phone.svelte.ts";
import type { AtHand } from "../walk/atHand.ts";

export class StepWriting {
  draft = $state.raw<StepDraft>(EMPTY_DRAFT);
  ready = $state(false);
  photoProblem = $state("");
  /** How many pictures were taken while this step was open. */
  photosTaken = $state(0);
  readonly checkpoint: GuideCheckpoint;
  readonly keeping: Keeping;
  readonly #saver: Saver;
  readonly #reading: Promise<void>;
  /** What was written before the kept draft was read: it wins over what is read. */
  #early: Partial<StepDraft> = {};

  constructor(atHand: AtHand, step: GuideStep) {
    const checkpoint = atHand.guide.checkpoints[step.checkpoint];
    if (!checkpoint) throw new Error(`The guide names ${step.checkpoint} but does not describe it`);
    this.checkpoint = checkpoint;
    const place = { checkpoint: step.checkpoint, at: step.at, part: step.part };
    this.keeping = { desk: phone.desk, inspection: atHand.id, place, checkpoint };
    this.#saver = new Saver(async () => {
      await this.#reading;
      await keepDraft(this.keeping, $state.snapshot(this.draft) as StepDraft);
    });
    this.#reading = this.#read(atHand, step);
  }

  async #read(atHand: AtHand, step: GuideStep): Promise<void> {
    const kept = await phone.desk.drafts.get([atHand.id, step.id]);
    const observation = atHand.current.get(step.id)?.[0]?.observation;
    const read = kept?.draft ?? (observation ? draftOf(observation, this.checkpoint) : EMPTY_DRAFT);
    const readings = { ...read.readings, ...this.#early.readings };
    this.draft = { ...read, ...this.#early, readings };
    this.ready = true;
  }

  get observation() {
    return observationOf(this.draft, this.checkpoint, this.keeping.place);
  }

  /** Texts on the screen that cannot be read as numbers, or that no reading can be. */
  get unreadable(): number {
    return typedIn(this.draft, this.checkpoint).filter(
      ({ reading, typed: { text, unit } }) =>
        !isBlank(text) && !readTyped(text, unit, ruleOf(reading, unit)).ok,
    ).length;
  }

  change(part: Partial<StepDraft>): void {
    this.draft = { ...this.draft, ...part };
    if (!this.ready) this.#early = { ...this.#early, ...part };
    this.#saver.touch();
  }

  choose(word: string): void {
    const { seen } = this.draft;
    const chosen = seen.includes(word);
    const others = this.checkpoint.any_of ? seen.filter((one) => one !== word) : [];
    this.change({ status: "checked", reason: null, seen: chosen ? others : [...others, word] });
  }

  type(key: string, index: number, typed: { text: string; unit: string }): void {
    const list = [...(this.draft.readings[key] ?? [])];
    while (list.length <= index) list.push({ text: "", unit: typed.unit });
    list[index] = typed;
    // One list, one unit: swings are told in the same one.
    const same = list.map((one) => ({ ...one, unit: typed.unit }));
    this.change({
      status: "checked",
      reason: null,
      readings: { ...this.draft.readings, [key]: same },
    });
  }

  async addPhotos(files: FileList | null, source: "camera" | "gallery"): Promise<void> {
    this.photoProblem = "";
    await this.#reading;
    for (const file of files ?? []) {
      await this.flush();
      try {
        this.draft = await keepPhoto(
          this.keeping,
          $state.snapshot(this.draft) as StepDraft,
          file,
          source,
        );
        this.photosTaken += 1;
        spoken.say("Photo kept on this phone");
      } catch (error) {
        if (!(error instanceof NotKept)) throw error;
        this.photoProblem = error.message;
      }
    }
  }

  async removePhoto(sha256: string): Promise<void> {
    await this.flush();
    this.draft = await dropPhoto(this.keeping, $state.snapshot(this.draft) as StepDraft, sha256);
    spoken.say("Photo taken off this check");
  }

  flush(): Promise<void> {
    return this.#saver.flush();
  }
  close(): Promise<void> {
    return this.#saver.close();
  }
}
