/* The way back for a person without a sign-in: a secret the server made for this phone. Whoever reads
   it out of the phone's storage is that person to the server, as with the session's cookie. */
import { Refused, type Server, type Session } from "../api/call.ts";
import type { Desk } from "../db/database.ts";

const KEY = "device_secret";
interface KeptSecret {
  person: string;
  secret: string;
}

/** Keep the secret a private session was given, if it was. */
export async function keepSecret(desk: Desk, { person, secret }: Session): Promise<void> {
  if (!person?.private || secret === null) return;
  const value: KeptSecret = { person: person.id, secret };
  await desk.meta.put({ key: KEY, value });
}

/** The person this desk can let in again, with the secret; null for a desk that cannot. */
export async function secretOn(desk: Desk): Promise<KeptSecret | null> {
  return ((await desk.meta.get(KEY))?.value as KeptSecret | undefined) ?? null;
}

/** Let in again as the person whose desk this is, and as nobody else. False where the phone has no
 *  secret, or somebody is signed in by name; throws SignedOut (`unknown_secret`) where the server
 *  knows it no more. Two tabs may do so side by side: a secret holds until one given later is used. */
export async function comeBack(desk: Desk, server: Server, person: string): Promise<boolean> {
  const now = (await server.session()).person;
  if (now?.id === person) return true;
  const kept = await secretOn(desk);
  if (kept?.person !== person || (now && !now.private)) return false;
  const session = await server.signInPrivately(kept.secret);
  await keepSecret(desk, session);
  return session.person?.id === person;
}

/** A phone that came to a private session without a secret asks for one of its own. */
export async function ensureSecret(desk: Desk, server: Server, person: string): Promise<void> {
  if ((await secretOn(desk))?.person === person) return;
  try {
    const session = await server.signInPrivately();
    if (session.person?.id === person) await keepSecret(desk, session);
  } catch (error) {
    if (!(error instanceof Refused)) throw error; // too many from this address: another time
  }
}
