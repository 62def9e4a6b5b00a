/* A length read in a photograph: the engine computes it, here the points are told and the answer read. */
import { NoConnection, type Server } from "../api/call.ts";
import type { PhotoLength, Quantity } from "../documents.ts";
import type { Spot } from "../photos/drawing.ts";
import type { PhoneEngine } from "./phoneEngine.ts";

/** All in points of the picture as taken. */
export interface PhotoQuestion {
  known: Quantity;
  known_ends_px: [number, number][];
  ends_px: [number, number][];
  /** Picture points under one point of the screen as the ends were placed. */
  screen_px: number;
  unit: "mm" | "in";
}
/** null: the known width is none the engine takes. */
export type Measure = (question: PhotoQuestion) => Promise<PhotoLength | null>;

export function phoneMeasure(engine: PhoneEngine): Measure {
  return async (question) => {
    const answer = await engine.ask("measure", JSON.stringify(question));
    return "text" in answer ? (JSON.parse(answer.text) as PhotoLength) : null;
  };
}

export function serverMeasure(server: Server): Measure {
  return async (question) => {
    const body = await server.call("/api/measure", { method: "POST", json: question });
    if ((body as { format?: unknown } | null)?.format !== "suspension-length/1")
      throw new NoConnection("Something else than the engine answered.");
    return body as PhotoLength;
  };
}

export function inPoints(spot: Spot, width_px: number, height_px: number): [number, number] {
  return [Math.round(spot.x * width_px * 100) / 100, Math.round(spot.y * height_px * 100) / 100];
}
