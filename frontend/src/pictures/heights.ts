/* Geometry of the height picture: 358 × 140, ground at 132. Numbers only place lines; nothing is judged. */
import type { Assessment, InspectionRecord, Zone } from "../lib/documents.ts";
import { firstUp } from "./figures.ts";

export interface Side {
  at: string;
  place: string;
  /** As the person wrote it, "14 3/8 in". */
  written: string;
  height_mm: number | null;
  loss_mm: number | null;
  zone: Zone;
}
export interface Axle {
  name: string;
  /** Left first; one or two. */
  sides: Side[];
}

const GROUND = 132;
const SILL = 62; // height of the sill of the tallest corner above the ground, in the picture
const [LEFT, MIDDLE, RIGHT] = [112, 179, 246];

/** Sides of the assessment grouped by axle, front first: `front_left` and `front_right` make one. */
export function axlesOf(assessment: Assessment, record: InspectionRecord): Axle[] {
  const axles = new Map<string, Side[]>();
  for (const finding of assessment.findings) {
    if (finding.checkpoint !== "ride_height" || finding.at === null) continue;
    const end = finding.at.replace(/_?(left|right)$/, "");
    const side: Side = {
      at: finding.at,
      place: finding.place,
      written: writtenHeight(record, finding.at) ?? finding.as_seen,
      height_mm: number(finding.quantities["height_mm"]),
      loss_mm: number(finding.quantities["height_loss_mm"]),
      zone: finding.zone,
    };
    axles.set(end, [...(axles.get(end) ?? []), side]);
  }
  return [...axles].map(([end, sides]) => ({
    name: sides.length === 1 ? firstUp(sides[0]?.place ?? end) : `${firstUp(end)} axle`,
    sides: sides.sort((a, b) => Number(a.at.endsWith("right")) - Number(b.at.endsWith("right"))),
  }));
}

function number(value: unknown): number | null {
  return typeof value === "number" ? value : null;
}

/** The height as typed, with its unit: the record keeps the person's own figures. */
function writtenHeight(record: InspectionRecord, at: string): string | null {
  const one = record.observations?.find((o) => o.checkpoint === "ride_height" && o.at === at);
  const height: unknown = one?.readings?.["height"];
  if (typeof height === "string") return height;
  if (typeof height !== "object" || height === null) return null;
  const typed = height as Record<string, unknown>;
  const value =
    "value" in typed
      ? String(typed["value"])
      : `${String(typed["low"])} to ${String(typed["high"])}`;
  return `${value}\u00a0${String(typed["unit"] ?? "")}`.trim();
}

/** Whether heights are drawn to scale; without them only the losses are. */
export function heightsKnown(axles: readonly Axle[]): boolean {
  return axles.every((axle) => axle.sides.every((side) => side.height_mm !== null));
}

export interface AxleDrawing {
  wheels: number[];
  body: string;
  reference: string | null;
  lost: { d: string; zone: Zone }[];
  arms: string[];
  arrows: string[];
}

/** Lines of one axle. all: every axle of the picture, so that they share one scale. */
export function axleDrawing(axle: Axle, all: readonly Axle[]): AxleDrawing {
  const scale = perMm(all);
  const ends = axle.sides.map((side, i) =>
    sideEnds(side, scale, axle.sides.length === 1 ? MIDDLE : i === 0 ? LEFT : RIGHT),
  );
  const [left, right] = [ends[0], ends.at(-1)];
  const [yl, yr] = [left?.now ?? GROUND - SILL, right?.now ?? GROUND - SILL];
  const known = ends.filter((end) => end.was !== null);
  const was = known.map((end) => end.was ?? 0);
  return {
    wheels: axle.sides.length === 1 ? [MIDDLE - 17] : [LEFT - 102, RIGHT + 68],
    body: `M${LEFT} ${round(yl)}L${RIGHT} ${round(yr)}l-12 -34H${LEFT + 12}z`,
    reference:
      known.length === 0
        ? null
        : `M${LEFT - 34} ${round(was[0] ?? 0)}L${RIGHT + 34} ${round(was.at(-1) ?? 0)}`,
    lost: axle.sides.length === 1 ? oneLost(axle, left) : twoLost(axle, left, right),
    arms: axle.sides.length === 1 ? [] : [...arms(LEFT, yl, 44), ...arms(RIGHT, yr, 314)],
    arrows: ends.filter((end) => end.measured).map((end) => arrow(end.x, end.now)),
  };
}

interface End {
  x: number;
  now: number;
  was: number | null;
  measured: boolean;
}

function sideEnds(side: Side, perMillimetre: number, x: number): End {
  const loss = side.loss_mm;
  const height = side.height_mm;
  const now =
    height === null
      ? GROUND - SILL + Math.max(loss ?? 0, 0) * perMillimetre
      : GROUND - height * perMillimetre;
  return { x, now, was: loss === null ? null : now - loss * perMillimetre, measured: true };
}

function perMm(all: readonly Axle[]): number {
  const sides = all.flatMap((axle) => axle.sides);
  const known = sides.flatMap((side) =>
    side.height_mm === null ? [] : [side.height_mm + Math.max(side.loss_mm ?? 0, 0)],
  );
  const tallest = Math.max(0, ...known);
  // Without heights only losses are drawn, at about the scale of a 400 mm sill.
  return SILL / (tallest > 0 ? tallest : 400);
}

function twoLost(
  axle: Axle,
  left: End | undefined,
  right: End | undefined,
): { d: string; zone: Zone }[] {
  const [a, b] = axle.sides;
  if (left === undefined || right === undefined || a === undefined || b === undefined) return [];
  const middle = (left.now + right.now) / 2;
  const lost = [];
  if (left.was !== null && left.was < left.now) {
    lost.push({
      zone: a.zone,
      d: `M${LEFT} ${round(left.was)}H${MIDDLE}V${round(Math.max(middle, left.was))}L${LEFT} ${round(left.now)}z`,
    });
  }
  if (right.was !== null && right.was < right.now) {
    lost.push({
      zone: b.zone,
      d: `M${RIGHT} ${round(right.was)}H${MIDDLE}V${round(Math.max(middle, right.was))}L${RIGHT} ${round(right.now)}z`,
    });
  }
  return lost;
}

function oneLost(axle: Axle, end: End | undefined): { d: string; zone: Zone }[] {
  const side = axle.sides[0];
  if (side === undefined || end === undefined || end.was === null || end.was >= end.now) return [];
  return [{ zone: side.zone, d: `M${LEFT} ${round(end.was)}H${RIGHT}V${round(end.now)}H${LEFT}z` }];
}

function arms(x: number, y: number, wheel: number): string[] {
  return [92, 112].map((hub) => `M${x} ${round(y - 6)}L${wheel} ${hub}`);
}

function arrow(x: number, y: number): string {
  return `M${x} ${GROUND - 1}V${round(y)}m-5 8l5-8 5 8M${x - 5} ${GROUND - 9}l5 8 5-8`;
}

function round(value: number): number {
  return Math.round(value * 10) / 10;
}
