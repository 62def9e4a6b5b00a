/* What only the server can tell of a machine: asked for, kept, and shown with no signal as it was told last. */
import { NoConnection, Refused, type Server, SignedOut } from "../../lib/api/call.ts";
import type { Desk } from "../../lib/db/database.ts";

export interface Told<T> {
  document: T;
  at: string;
}
/** Why there is nothing newer: no signal, nobody signed in, or the engine's own sentences. */
export type Missing = { why: "no_signal" | "signed_out" } | { why: "refused"; sentences: string[] };

/** Keeps under `key` what the server answers. null: it was kept; else why not. */
export async function askAndKeep(
  desk: Desk,
  server: Server,
  asked: { path: string; key: string; format: string },
): Promise<Missing | null> {
  try {
    const document = await server.call(asked.path);
    if ((document as { format?: unknown } | null)?.format !== asked.format)
      return { why: "no_signal" };
    const told: Told<unknown> = { document, at: new Date().toISOString() };
    await desk.meta.put({ key: asked.key, value: told });
    return null;
  } catch (error) {
    if (error instanceof NoConnection) return { why: "no_signal" };
    if (error instanceof SignedOut) return { why: "signed_out" };
    if (!(error instanceof Refused)) throw error;
    const said = Object.values(error.fields);
    return { why: "refused", sentences: said.length > 0 ? said : [error.message] };
  }
}

export async function keptAs<T>(desk: Desk, key: string): Promise<Told<T> | null> {
  return ((await desk.meta.get(key))?.value as Told<T> | undefined) ?? null;
}
