/* What page and engine worker say to each other. */

/** The build's list of what the engine is made of (public/python/parts.json). */
export interface Parts {
  /** Folder of the Python runtime, with a slash at its end. */
  runtime: string;
  /** The runtime's own account of itself. */
  info: unknown;
  /** Our engine and its rulebook, packed. */
  engine: string;
  /** Every file: size unpacked, and as it travels. */
  files: { url: string; bytes: number; sent: number }[];
}
export type EngineCall = "assess" | "guide" | "measure";
export interface Question {
  id: number;
  call: EngineCall;
  text: string;
}
/** `ready` once; then one answer a question: the document's text, or what is wrong with the record. */
export type Told =
  | { ready: true }
  | { failed: string }
  | { id: number; text: string }
  | { id: number; refused: { path: string; what: string }[] }
  | { id: number; broke: string };
