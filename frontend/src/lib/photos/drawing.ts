/* The marks on a picture as shapes with handles: places are shares of the upright picture, x and r of
   its width, y of its height. shape: the picture's height ÷ its width. */
import type { PhotoMark } from "../documents.ts";

export interface Spot {
  x: number;
  y: number;
}
/** A place of a mark that can be taken hold of. */
export interface Handle extends Spot {
  name: "whole" | "edge" | "tail" | "point" | "known" | "known_to";
  words: string;
}
export type MarkKind = PhotoMark["kind"];

/** A ring of half the picture's width still has its edge in it on one side. */
const LARGEST_R = 0.5;
const SMALLEST_R = 0.005;
const ARROW_LENGTH = 0.25;
const KIND_WORDS: Record<MarkKind, string> = {
  ring: "Ring",
  arrow: "Arrow",
  note: "Note",
  length: "Length",
};

export function handlesOf(mark: PhotoMark): Handle[] {
  if (mark.kind === "ring") {
    const edge = mark.x <= 0.5 ? mark.x + mark.r : mark.x - mark.r;
    return [
      { name: "whole", words: "middle", x: mark.x, y: mark.y },
      { name: "edge", words: "edge", x: edge, y: mark.y },
    ];
  }
  if (mark.kind === "arrow")
    return [
      { name: "point", words: "point", x: mark.to_x, y: mark.to_y },
      { name: "tail", words: "tail", x: mark.x, y: mark.y },
    ];
  if (mark.kind === "length")
    return [
      { name: "known", words: "known, one edge", x: mark.known_x, y: mark.known_y },
      { name: "known_to", words: "known, other edge", x: mark.known_to_x, y: mark.known_to_y },
      { name: "tail", words: "one end", x: mark.x, y: mark.y },
      { name: "point", words: "other end", x: mark.to_x, y: mark.to_y },
    ];
  return [{ name: "whole", words: "place", x: mark.x, y: mark.y }];
}

/** The mark with one of its handles somewhere else, never out of the picture. */
export function moved(mark: PhotoMark, handle: Handle["name"], to: Spot, shape: number): PhotoMark {
  const x = inside(to.x);
  const y = inside(to.y);
  if (mark.kind === "length") return lengthMoved(mark, handle, { x, y });
  if (handle === "edge" && mark.kind === "ring") {
    const r = Math.hypot(to.x - mark.x, (to.y - mark.y) * shape);
    return { ...mark, r: fine(Math.min(LARGEST_R, Math.max(SMALLEST_R, r))) };
  }
  if (handle === "point" && mark.kind === "arrow") return { ...mark, to_x: x, to_y: y };
  return { ...mark, x, y };
}

/** What was read between other ends is no longer said of these. */
function lengthMoved(
  { text: _read, ...mark }: Extract<PhotoMark, { kind: "length" }>,
  handle: Handle["name"],
  { x, y }: Spot,
): PhotoMark {
  if (handle === "known") return { ...mark, known_x: x, known_y: y };
  if (handle === "known_to") return { ...mark, known_to_x: x, known_to_y: y };
  return handle === "point" ? { ...mark, to_x: x, to_y: y } : { ...mark, x, y };
}

/** A new mark of that kind at a place. reach: how far across it is to be, a share of the width. */
export function newMark(kind: MarkKind, at: Spot, reach: number): PhotoMark {
  const x = inside(at.x);
  const y = inside(at.y);
  if (kind === "ring") return { kind, x, y, r: fine(Math.min(LARGEST_R, reach)) };
  if (kind === "note") return { kind, x, y, text: "" };
  if (kind === "length") return newLength({ x, y }, reach);
  // Its tail stands towards the middle, where there is room for it.
  const away = (share: number) =>
    inside(share + Math.min(ARROW_LENGTH, 2 * reach) * (share > 0.5 ? -1 : 1));
  return { kind, x: away(x), y: away(y), to_x: x, to_y: y };
}

/** The known width below, what is measured above: four ends far enough apart for a finger. */
function newLength({ x, y }: Spot, reach: number): PhotoMark {
  const [left, right] = [inside(x - reach), inside(x + reach)];
  const [above, below] = [inside(y - reach / 2), inside(y + reach / 2)];
  const known = { known_x: left, known_y: below, known_to_x: right, known_to_y: below };
  return { kind: "length", x: left, y: above, to_x: right, to_y: above, ...known };
}

/** What is worth keeping: a note that says nothing is none. */
export function worthKeeping(marks: readonly PhotoMark[]): PhotoMark[] {
  return marks
    .map((mark) => (mark.text === undefined ? mark : { ...mark, text: mark.text.trim() }))
    .filter((mark) => mark.kind !== "note" || mark.text !== "");
}

/** A letter for each mark that says something: it stands in the picture, the words beside it. */
export function letters(marks: readonly PhotoMark[]): (string | null)[] {
  let next = 0;
  return marks.map((mark) => (mark.text ? letterOf(next++) : null));
}
function letterOf(index: number): string {
  const more = Math.floor(index / 26);
  return (more ? letterOf(more - 1) : "") + String.fromCharCode(97 + (index % 26));
}

/** Where a mark's letter stands: beside what it shows, not on it. */
export function letterSpot(mark: PhotoMark, shape: number): Spot {
  if (mark.kind === "length")
    return { x: (mark.x + mark.to_x) / 2, y: inside((mark.y + mark.to_y) / 2 - 0.07 / shape) };
  if (mark.kind !== "ring") return { x: mark.x, y: mark.y };
  const aside = mark.r * Math.SQRT1_2;
  return { x: inside(mark.x + aside), y: inside(mark.y - aside / shape) };
}

/** "Ring 2" */
export function called(marks: readonly PhotoMark[], index: number): string {
  const kind = marks[index]?.kind;
  if (!kind) return "";
  const same = marks.slice(0, index + 1).filter((mark) => mark.kind === kind).length;
  return `${KIND_WORDS[kind]} ${same}`;
}

/** "41 % across, 30 % down" */
export function whereWords({ x, y }: Spot): string {
  return `${Math.round(x * 100)} % across, ${Math.round(y * 100)} % down`;
}

/** All that is drawn, in words: "2 rings, 1 arrow; a: wet here". */
export function drawnWords(marks: readonly PhotoMark[]): string {
  const counts = (["ring", "arrow", "length"] as const).flatMap((kind) => {
    const many = marks.filter((mark) => mark.kind === kind).length;
    return many ? [`${many} ${kind}${many > 1 ? "s" : ""}`] : [];
  });
  const said = letters(marks).flatMap((letter, i) =>
    letter ? [`${letter}: ${marks[i]!.text ?? ""}`] : [],
  );
  return [counts.join(", "), ...said].filter(Boolean).join("; ");
}

const fine = (share: number) => Math.round(share * 1e5) / 1e5;
const inside = (share: number) => fine(Math.min(1, Math.max(0, share)));
