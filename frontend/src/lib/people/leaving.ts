/* Signing out works without a signal: the desk is shut at once, the server is told when it can be. */
import { NoConnection, type Server, SignedOut } from "../api/call.ts";
import type { Desk } from "../db/database.ts";
import { leave } from "./owner.ts";

const OWED = "inspect.sign_out_owed";

/** Shut the desk (or throw it away) and sign out. Resolves once the desk is shut; the empty desk. */
export async function signOutHere(desk: Desk, server: Server, keepUnsent: boolean): Promise<Desk> {
  // Written first: from here on the old session is never taken for anybody's.
  localStorage.setItem(OWED, "1");
  const empty = await leave(desk, keepUnsent);
  try {
    await settleSignOut(server);
  } catch (error) {
    if (!(error instanceof NoConnection)) throw error;
  }
  return empty;
}

/** Tell the server of a sign-out it does not know of yet. Before that nothing is asked of it in the
 *  old session's name. Throws NoConnection. */
export async function settleSignOut(server: Server): Promise<void> {
  if (localStorage.getItem(OWED) === null) return;
  try {
    await server.signOut();
  } catch (error) {
    if (!(error instanceof SignedOut)) throw error; // it had ended by itself
  }
  signedOutOnServer();
}

/** Somebody signed in: the old session is gone with that. */
export function signedOutOnServer(): void {
  localStorage.removeItem(OWED);
}
