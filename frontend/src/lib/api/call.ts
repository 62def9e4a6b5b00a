/* One way to the server. What does not come back as our JSON did not come from our server. */

const LONGEST_WAIT_MS = 20_000;

/** Nothing of ours answered: no signal, a login portal's page, a proxy's error, a time-out. */
export class NoConnection extends Error {
  override name = "NoConnection";
}
/** Nobody is signed in here, or not the person whose work this is. */
export class SignedOut extends Error {
  override name = "SignedOut";
  constructor(
    message: string,
    readonly code = "signed_out",
  ) {
    super(message);
  }
}
/** The server's data were lost or put back from a copy: it lacks what this phone has seen. */
export class OtherLog extends Error {
  override name = "OtherLog";
}
export class TooLarge extends Error {
  override name = "TooLarge";
}
/** The server read it and said no. */
export class Refused extends Error {
  override name = "Refused";
  readonly code: string;
  readonly fields: Record<string, string>;
  constructor(
    readonly status: number,
    body: { code: string; detail: string; fields?: Record<string, unknown> },
  ) {
    super(body.detail);
    this.code = body.code;
    this.fields = Object.fromEntries(
      Object.entries(body.fields ?? {}).map(([path, what]) => [path, plain(what)]),
    );
  }
}

export type Fetch = (path: string, init: RequestInit) => Promise<Response>;
export interface Request {
  method?: "GET" | "POST" | "PUT" | "DELETE";
  json?: unknown;
  bytes?: ArrayBuffer;
  headers?: Record<string, string>;
  wait_ms?: number;
}

/** The way to one server, with the CSRF token of the session at hand. */
export class Server {
  #csrf: string | null = null;
  constructor(private readonly fetch: Fetch = (path, init) => globalThis.fetch(path, init)) {}

  /** How a person without a sign-in is let in again; false where there is no way, or another
   *  person is signed in. Whoever knows the person sets it. */
  comeBack: () => Promise<boolean> = () => Promise.resolve(false);

  /** JSON of the answer. Throws NoConnection, SignedOut, OtherLog, TooLarge or Refused. */
  async call(path: string, request: Request = {}): Promise<unknown> {
    if (writes(request) && this.#csrf === null) await this.session();
    const cured = new Set<string>();
    for (;;) {
      try {
        return await this.#once(path, request);
      } catch (error) {
        const fault = faultOf(error, request);
        if (fault === null || cured.has(fault)) throw error;
        cured.add(fault);
        if (fault === "old_token") await this.session();
        else if (!(await this.comeBack())) throw error;
      }
    }
  }

  async session(): Promise<Session> {
    return this.#keep(await this.#once("/api/session", {}));
  }
  async signIn(username: string, password: string): Promise<Session> {
    return this.#keep(
      await this.call("/api/session", { method: "POST", json: { username, password } }),
    );
  }
  /** An organisation of one, made silently; with this phone's secret, the same one again. */
  async signInPrivately(secret?: string): Promise<Session> {
    const json = secret === undefined ? {} : { secret };
    return this.#keep(await this.call("/api/session/private", { method: "POST", json }));
  }
  async signOut(): Promise<void> {
    await this.call("/api/session", { method: "DELETE" });
    this.#csrf = null;
  }

  #keep(body: unknown): Session {
    const session = asSession(body);
    this.#csrf = session.csrf;
    return session;
  }

  async #once(path: string, request: Request): Promise<unknown> {
    const { response, text } = await this.#fetchText(path, request);
    const body = jsonOf(response, text);
    if (response.status === 413)
      throw new TooLarge(isRefusal(body) ? body.detail : "The server takes nothing this large.");
    if (response.ok) {
      if (response.status === 204) return null;
      if (body === undefined) throw new NoConnection("Something else than the server answered.");
      return body;
    }
    if (!isRefusal(body) || response.status >= 500)
      throw new NoConnection(isRefusal(body) ? body.detail : "The server cannot answer now.");
    if (response.status === 401) throw new SignedOut(body.detail, body.code);
    if (body.code === "other_log") throw new OtherLog(body.detail);
    throw new Refused(response.status, body);
  }

  async #fetchText(path: string, request: Request): Promise<{ response: Response; text: string }> {
    const headers: Record<string, string> = { Accept: "application/json", ...request.headers };
    if (request.json !== undefined) headers["Content-Type"] = "application/json";
    if (this.#csrf !== null) headers["X-CSRFToken"] = this.#csrf;
    const body = request.json !== undefined ? JSON.stringify(request.json) : request.bytes;
    try {
      const response = await this.fetch(path, {
        method: request.method ?? "GET",
        headers,
        credentials: "same-origin",
        cache: "no-store",
        signal: AbortSignal.timeout(request.wait_ms ?? LONGEST_WAIT_MS),
        ...(body !== undefined && { body }),
      });
      return { response, text: await response.text() };
    } catch (error) {
      if (error instanceof TypeError || error instanceof DOMException)
        throw new NoConnection("No connection to the server.");
      throw error;
    }
  }
}

export interface Session {
  /** private: works without a sign-in, under no name of their own. */
  person: { id: string; name: string; private: boolean } | null;
  organisation: { id: string; name: string } | null;
  csrf: string;
  /** Told once, when a private person is let in: lets this phone in the next time. */
  secret: string | null;
}

function writes(request: Request): boolean {
  return (request.method ?? "GET") !== "GET";
}

/** What is not the person's fault and can be put right, each once a call; null for all else. */
function faultOf(error: unknown, request: Request): "old_token" | "signed_out" | null {
  if (error instanceof SignedOut && error.code === "signed_out") return "signed_out";
  return writes(request) && error instanceof Refused && error.status === 403 ? "old_token" : null;
}

function asSession(body: unknown): Session {
  const session = body as Partial<Session> | null;
  if (typeof session?.csrf !== "string" || session.person === undefined)
    throw new NoConnection("Something else than the server answered.");
  const { person, organisation } = session;
  return {
    person: person
      ? { id: String(person.id), name: String(person.name), private: person.private === true }
      : null,
    organisation: organisation
      ? { id: String(organisation.id), name: String(organisation.name) }
      : null,
    csrf: session.csrf,
    secret: typeof session.secret === "string" ? session.secret : null,
  };
}

function jsonOf(response: Response, text: string): unknown {
  if (!/^application\/(?:[\w.-]+\+)?json\b/i.test(response.headers.get("Content-Type") ?? ""))
    return undefined;
  try {
    return JSON.parse(text) as unknown;
  } catch (error) {
    if (error instanceof SyntaxError) return undefined;
    throw error;
  }
}

function isRefusal(
  body: unknown,
): body is { code: string; detail: string; fields?: Record<string, unknown> } {
  const refusal = body as { code?: unknown; detail?: unknown } | null | undefined;
  return typeof refusal?.code === "string" && typeof refusal.detail === "string";
}

function plain(what: unknown): string {
  return Array.isArray(what) ? what.map(String).join(" ") : String(what);
}
