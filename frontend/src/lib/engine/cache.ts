/* The engine's files on this phone. The page puts them there; the service worker only reads them
   (and keeps them in step when a new version comes). */
import type { Parts } from "./protocol.ts";

export const ENGINE_CACHE = "engine";

/** The list of this version's parts; null where the server does not answer with one. */
export async function partsOf(): Promise<Parts | null> {
  try {
    const response = await fetch("/python/parts.json");
    const parts = (await response.json()) as Partial<Parts>;
    return response.ok && Array.isArray(parts.files) ? (parts as Parts) : null;
  } catch (error) {
    // No signal (TypeError), or a login portal's page (SyntaxError).
    if (error instanceof TypeError || error instanceof SyntaxError) return null;
    throw error;
  }
}

/** What of it is not here yet. */
export async function missingOf(parts: Parts): Promise<Parts["files"]> {
  const cache = await caches.open(ENGINE_CACHE);
  const here = await Promise.all(parts.files.map(({ url }) => cache.match(url)));
  return parts.files.filter((_, i) => here[i] === undefined);
}

/** Fetch one file and keep it whole. `tell` is called with the share that has come. Throws TypeError
 *  where the connection breaks or something else answers, DOMException where there is no room. */
export async function fetchAndKeep(
  file: Parts["files"][number],
  tell: (share: number) => void,
): Promise<void> {
  const response = await fetch(file.url);
  const reader = response.body?.getReader();
  if (!response.ok || !reader) throw new TypeError(`${file.url} is not there.`);
  const whole = new Uint8Array(file.bytes);
  let at = 0;
  for (let read = await reader.read(); !read.done; read = await reader.read()) {
    if (at + read.value.length > whole.length) throw new TypeError("Something else answered.");
    whole.set(read.value, at);
    at += read.value.length;
    tell(at / whole.length);
  }
  if (at !== whole.length) throw new TypeError("The connection broke.");
  const type = response.headers.get("Content-Type") ?? "";
  const cache = await caches.open(ENGINE_CACHE);
  await cache.put(file.url, new Response(whole, { headers: { "Content-Type": type } }));
}
