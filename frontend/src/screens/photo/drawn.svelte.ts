/* What is being drawn on one picture: shown from memory, on disk as soon as the finger is lifted, and
   every stroke of this visit can be taken back. */
import { Saver } from "../../components/saver.ts";
import { spoken } from "../../components/spoken.svelte.ts";
import type { PhotoMark } from "../../lib/documents.ts";
import {
  called,
  type Handle,
  handlesOf,
  type MarkKind,
  moved,
  newMark,
  type Spot,
  whereWords,
  worthKeeping,
} from "../../lib/photos/drawing.ts";
import { keepMarks, marksAt, type PhotoUse } from "../../lib/photos/marks.ts";
import { stepKey } from "../../lib/record/current.ts";
import { phone } from "../../phone.svelte.ts";

export interface Held {
  mark: number;
  handle: Handle["name"];
}

export class Drawn {
  marks = $state.raw<readonly PhotoMark[]>([]);
  held = $state.raw<Held | null>(null);
  /** Width and height of the picture as taken, its own points; 0 until it is known. */
  size = $state.raw<[number, number]>([0, 0]);
  ready = $state(false);
  /** Picture points under one point of the screen: as near as one is now, and with the whole in view. */
  nearness = { now: 1, whole: 1 };
  /** How near one was when an end was last placed, by mark and handle. */
  readonly #placed = new Map<string, number>();
  #before = $state.raw<{ what: string; marks: readonly PhotoMark[] }[]>([]);
  readonly #desk = phone.desk;
  readonly #saver = new Saver(() =>
    keepMarks(this.#desk, this.use, worthKeeping($state.snapshot(this.marks) as PhotoMark[])),
  );

  constructor(readonly use: PhotoUse) {
    void this.#read();
  }

  async #read(): Promise<void> {
    const { inspection, place, sha256 } = this.use;
    const rows = await this.#desk.photo_marks.where({ inspection, sha256 }).toArray();
    this.marks = marksAt(rows, stepKey(place)).get(sha256) ?? [];
    this.ready = true;
  }

  /** The picture's height ÷ its width; 0 until it is known. */
  get shape(): number {
    return this.size[0] > 0 ? this.size[1] / this.size[0] : 0;
  }
  get canUndo(): boolean {
    return this.#before.length > 0;
  }
  get heldSpot(): Handle | null {
    const mark = this.held && this.marks[this.held.mark];
    return (mark && handlesOf(mark).find((one) => one.name === this.held?.handle)) ?? null;
  }

  add(kind: MarkKind, at: Spot, reach: number): void {
    this.#remember(`add ${this.marks.length}`);
    const mark = newMark(kind, at, reach);
    this.#become([...this.marks, mark]);
    this.hold(this.marks.length - 1);
    this.say("placed");
  }

  hold(mark: number, handle?: Handle["name"]): void {
    const one = this.marks[mark];
    const name = handle ?? (one && handlesOf(one)[0]?.name);
    this.held = name ? { mark, handle: name } : null;
  }

  /** Moves of one handle, one after the other, are taken back together. */
  moveTo(spot: Spot): void {
    const { held } = this;
    const mark = held && this.marks[held.mark];
    if (!held || !mark) return;
    this.#remember(`move ${held.mark} ${held.handle}`);
    this.#placed.set(`${held.mark} ${held.handle}`, this.nearness.now);
    this.#put(held.mark, moved(mark, held.handle, spot, this.shape));
  }

  /** Picture points under one screen point at the least near of a mark's ends: looking closer
   *  afterwards makes none of them surer. */
  screenPxOf(index: number): number {
    const mark = this.marks[index];
    const ends = mark
      ? handlesOf(mark).map(({ name }) => this.#placed.get(`${index} ${name}`))
      : [];
    return Math.max(...ends.map((placed) => placed ?? this.nearness.whole));
  }

  write(mark: number, text: string): void {
    const one = this.marks[mark];
    if (!one) return;
    this.#remember(`write ${mark}`);
    this.#put(mark, { ...one, text });
  }

  remove(mark: number): void {
    this.#remember(`remove ${mark}`);
    spoken.say(`${called(this.marks, mark)} taken out`);
    this.held = null;
    this.#placed.clear();
    this.#become(this.marks.filter((_, i) => i !== mark));
  }

  undo(): void {
    const last = this.#before.at(-1);
    if (!last) return;
    this.#before = this.#before.slice(0, -1);
    this.held = null;
    this.#placed.clear();
    this.#become(last.marks);
    spoken.say("The last stroke is taken back");
  }

  /** Say aloud where the held handle is now. */
  say(what: string): void {
    const spot = this.heldSpot;
    if (!this.held || !spot) return;
    spoken.say(
      `${called(this.marks, this.held.mark)}, ${spot.words}, ${what}: ${whereWords(spot)}`,
    );
  }

  /** The next move counts as a stroke of its own. */
  lift(): void {
    const last = this.#before.at(-1);
    if (last) this.#before = [...this.#before.slice(0, -1), { ...last, what: "" }];
  }

  flush(): Promise<void> {
    return this.#saver.flush();
  }
  close(): Promise<void> {
    return this.#saver.close();
  }

  #remember(what: string): void {
    if (this.#before.at(-1)?.what !== what)
      this.#before = [...this.#before, { what, marks: this.marks }];
  }
  #put(index: number, mark: PhotoMark): void {
    this.#become(this.marks.map((one, i) => (i === index ? mark : one)));
  }
  #become(marks: readonly PhotoMark[]): void {
    this.marks = marks;
    this.#saver.touch();
  }
}
