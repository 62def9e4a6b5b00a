/* What the whole app shares: whose desk is open, the way to the server, the queue, the look. */
import { NoConnection, Server, type Session } from "./lib/api/call.ts";
import { Desk } from "./lib/db/database.ts";
import { serverGrade } from "./lib/engine/grade.ts";
import { refreshGuides } from "./lib/guide/guides.ts";
import { uuid7 } from "./lib/ids.ts";
import { becomeOwner, currentOwner, leave, type Owner } from "./lib/people/owner.ts";
import { nudgeOnSigns, Queue, type QueueState } from "./lib/sync/queue.ts";
import { sendAll } from "./lib/sync/send.ts";

class Phone {
  owner = $state.raw<Owner | null>(currentOwner());
  desk = $state.raw<Desk>(new Desk(this.owner?.id ?? null));
  queueState = $state.raw<QueueState>({ phase: "idle" });
  readonly server = new Server();
  readonly grade = serverGrade(this.server);
  readonly queue = new Queue({ send: () => this.#send(), show: (state) => (this.queueState = state) });

  start(): void {
    nudgeOnSigns(this.queue);
    this.queue.nudge();
    void navigator.storage?.persist?.();
  }

  async #send(): Promise<void> {
    if (this.owner === null) await this.#findOwner();
    if (this.owner !== null) {
      await sendAll({ desk: this.desk, server: this.server, owner: this.owner.id, device: deviceId() });
    }
    await refreshGuides(this.desk, this.server);
  }

  /** Before the first sign-in: a session that is there already, else one made silently, but only
   *  once there is something to keep on the server. */
  async #findOwner(): Promise<void> {
    const session = await this.server.session();
    if (session.person) return this.#adopt(session);
    if ((await this.desk.outbox.count()) > 0) await this.#adopt(await this.server.signInPrivately());
  }

  async #adopt(session: Session): Promise<void> {
    if (!session.person) throw new NoConnection("The server did not say who is signed in.");
    const { id, name } = session.person;
    if (this.owner?.id === id) return;
    this.desk = await becomeOwner({ id, name });
    this.owner = { id, name };
  }

  /** Throws NoConnection or SignedOut (the server's sentence). */
  async signIn(username: string, password: string): Promise<void> {
    await this.#adopt(await this.server.signIn(username, password));
    await this.queue.tryNow();
  }

  /** A session of one's own where none is there yet: the grade needs one as well. */
  async privately(): Promise<void> {
    if (this.owner === null) await this.#findOwnerNow();
  }
  async #findOwnerNow(): Promise<void> {
    const session = await this.server.session();
    await this.#adopt(session.person ? session : await this.server.signInPrivately());
  }

  async signOut(keepUnsent: boolean): Promise<void> {
    await this.server.signOut();
    this.desk = await leave(this.desk, keepUnsent);
    this.owner = null;
  }
}

function deviceId(): string {
  const known = localStorage.getItem("inspect.device");
  if (known) return known;
  const made = uuid7();
  localStorage.setItem("inspect.device", made);
  return made;
}

export const phone = new Phone();
