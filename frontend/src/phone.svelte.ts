/* What the whole app shares: whose desk is open, the way to the server, the queue, the look. */
import { habits } from "./habits.svelte.ts";
import { NoConnection, Server, type Session, SignedOut } from "./lib/api/call.ts";
import type { Desk } from "./lib/db/database.ts";
import { type EngineState, PhoneEngine } from "./lib/engine/phoneEngine.ts";
import { refreshGuides } from "./lib/guide/guides.ts";
import { uuid7 } from "./lib/ids.ts";
import { type Cleared, clearedFrom, forgetNote, noteKept } from "./lib/people/cleared.ts";
import { settleSignOut, signedOutOnServer, signOutHere } from "./lib/people/leaving.ts";
import {
  becomeOwner,
  currentOwner,
  handDeskOver,
  hasDesk,
  openDesk,
  type Owner,
} from "./lib/people/owner.ts";
import { comeBack, ensureSecret, keepSecret } from "./lib/people/renewal.ts";
import { learnWhatClosedCameTo } from "./lib/record/closed.ts";
import { nudgeOnSigns, Queue, type QueueState } from "./lib/sync/queue.ts";
import { askToKeep } from "./lib/sync/room.ts";
import { sendAll, type Sending } from "./lib/sync/send.ts";
import engineWorker from "./workers/engine.ts?worker&url";

/** `no_note`: the server knows who this is, this browser has nothing of theirs. */
export type ClearedHere = Cleared | "no_note";

class Phone {
  owner = $state.raw<Owner | null>(currentOwner());
  desk = $state.raw<Desk>(openDesk());
  queueState = $state.raw<QueueState>({ phase: "idle" });
  readonly server = new Server();
  engineState = $state.raw<EngineState>({ phase: "absent" });
  readonly engine = new PhoneEngine(
    (state) => (this.engineState = state),
    () => new Worker(engineWorker, { type: "module" }),
  );
  /** What this browser has cleared, until it was read. */
  cleared = $state.raw<ClearedHere | null>(null);
  #looked: Promise<void> = Promise.resolve();
  readonly queue = new Queue({
    send: () => this.#send(),
    show: (state) => (this.queueState = state),
  });

  /** Works without a sign-in, and the server knows this phone no more: nothing can be sent. */
  readonly forgotten = $derived(
    this.owner?.silent === true &&
      this.queueState.phase === "signed_out" &&
      this.queueState.code !== "other_person",
  );

  /** `settled`: when the engine may have the network to itself. */
  start(settled: Promise<unknown>): void {
    this.server.comeBack = () => this.#comeBack();
    this.#looked = this.#lookForCleared();
    nudgeOnSigns(this.queue);
    // Another tab signed in as someone else, or out: this one must not go on showing the first one's desk.
    window.addEventListener("storage", ({ key, newValue }) => {
      if (key === "inspect.desk" && newValue !== this.desk.id) location.reload();
      if (key === "inspect.owner") this.owner = currentOwner();
    });
    this.queue.nudge();
    void settled.then(() => {
      this.#wantsEngine = true;
      return this.engine.fetch();
    });
  }
  #wantsEngine = false;

  async #lookForCleared(): Promise<void> {
    this.cleared = await clearedFrom(this.desk);
  }
  readCleared(): void {
    this.cleared = null;
    forgetNote(this.desk.id);
    this.queue.nudge();
  }
  async #note(): Promise<void> {
    if (this.cleared === null) await noteKept(this.desk, await this.desk.outbox.count());
  }

  async #send(): Promise<void> {
    await this.#looked;
    void askToKeep(await this.desk.outbox.count());
    await this.#note();
    await settleSignOut(this.server);
    if (this.owner === null) await this.#findOwner();
    if (this.owner !== null) {
      await sendAll(this.#sending(this.owner));
      if (this.owner.silent) await ensureSecret(this.desk, this.server, this.owner.id);
      await learnWhatClosedCameTo(this.desk, this.server, this.#askedInVain);
    }
    if (this.#guidesOf !== this.desk.id && (await refreshGuides(this.desk, this.server)))
      this.#guidesOf = this.desk.id;
    // There is a connection: what broke off goes on.
    if (this.#wantsEngine) void this.engine.fetch();
  }
  #sending(owner: Owner): Sending {
    return { desk: this.desk, server: this.server, owner: owner.id, device: deviceId() };
  }
  /** Closed on this phone and not yet on the server when it was asked: once a visit is enough. */
  readonly #askedInVain = new Set<string>();
  /** The desk whose guides were fetched since the page was opened: once is enough. */
  #guidesOf: string | null = null;

  /** Before the first sign-in: a session that is there already, else one made silently, but only
   *  once there is something to keep on the server. */
  #findOwner(): Promise<void> {
    return this.#oneAtATime(() => this.#lookForOwner());
  }
  async #lookForOwner(): Promise<void> {
    if (this.owner !== null) return;
    const session = await this.server.session();
    // Two desks to pour into one: not behind somebody's back, only on the sign-in screen.
    if (session.person && hasDesk(session.person.id)) throw new SignedOut("Sign in to send.");
    if (session.person) {
      if (isNewHere()) this.cleared ??= "no_note";
      return this.#adopt(session);
    }
    if ((await this.desk.outbox.count()) > 0)
      await this.#adopt(await this.server.signInPrivately());
  }

  async #adopt(session: Session): Promise<void> {
    if (!session.person) throw new NoConnection("The server did not say who is signed in.");
    const { id, name, private: silent } = session.person;
    if (this.owner?.id === id) return;
    const owner: Owner = { id, name, ...(silent && { silent: true }) };
    this.desk = await becomeOwner(owner, this.desk);
    this.owner = owner;
    this.cleared ??= await clearedFrom(this.desk);
    await keepSecret(this.desk, session);
    habits.reread();
  }

  async #comeBack(): Promise<boolean> {
    const { owner, desk, server } = this;
    return owner?.silent === true && comeBack(desk, server, owner.id);
  }

  /** The server forgot this phone. Only when told to, a new private session is begun and all that is
   *  on the desk is sent to it again. Throws NoConnection, SignedOut or Refused. */
  async beginAnew(): Promise<void> {
    const session = await this.server.signInPrivately();
    const { person } = session;
    if (!person?.private) throw new SignedOut("Someone is signed in here now.", "other_person");
    const owner: Owner = { id: person.id, name: person.name, silent: true };
    const { enqueueAll } = await import("./lib/sync/again.ts");
    await enqueueAll(this.desk);
    await keepSecret(this.desk, session);
    handDeskOver(owner, this.desk);
    this.owner = owner;
    await this.queue.tryNow();
  }

  /** The server lost some of what it had. Only when told to, this phone sends it what it lacks.
   *  Throws NoConnection, SignedOut or Refused. */
  async sendLacking(): Promise<void> {
    if (this.owner === null) return;
    const { enqueueLacking } = await import("./lib/sync/again.ts");
    await enqueueLacking(this.#sending(this.owner));
    await this.queue.tryNow();
  }

  /** Open again what somebody's sign-in shut away; only while nobody is signed in. */
  async openShut(owner: Owner): Promise<void> {
    if (this.owner !== null) return;
    this.desk = await becomeOwner(owner, this.desk);
    this.owner = owner;
    this.cleared = await clearedFrom(this.desk);
    habits.reread();
    await this.queue.tryNow();
  }

  /** Throws NoConnection or SignedOut (the server's sentence). */
  async signIn(username: string, password: string): Promise<void> {
    const session = await this.server.signIn(username, password);
    signedOutOnServer();
    await this.#adopt(session);
    await this.queue.tryNow();
  }

  /** A session of one's own where none is there yet: the grade needs one as well. */
  async privately(): Promise<void> {
    await this.#oneAtATime(async () => {
      if (this.owner !== null) return;
      await settleSignOut(this.server);
      await this.#adopt(await this.server.signInPrivately());
    });
  }

  /** Queue and grade may both find that nobody is signed in: one organisation is enough. */
  #finding: Promise<void> = Promise.resolve();
  #oneAtATime(find: () => Promise<void>): Promise<void> {
    const found = this.#finding.then(find);
    this.#finding = found.catch(() => undefined);
    return found;
  }

  /** At once, signal or not; the server is told when it can be. */
  async signOut(keepUnsent: boolean): Promise<void> {
    this.desk = await signOutHere(this.desk, this.server, keepUnsent);
    this.owner = null;
    habits.reread();
  }
}

const DEVICE = "inspect.device";
/** Nothing was ever sent from this browser, as far as it knows. */
const isNewHere = () => localStorage.getItem(DEVICE) === null;
function deviceId(): string {
  const known = localStorage.getItem(DEVICE);
  if (known) return known;
  const made = uuid7();
  localStorage.setItem(DEVICE, made);
  return made;
}

export const phone = new Phone();
