/* The app itself on this phone. A newer version waits until it is asked for: no page is ever reloaded
   under somebody's hands. */
import { Saver } from "./components/saver.ts";

const LOOK_AGAIN_MS = 3_600_000;

class Updates {
  /** A newer version is wholly on this phone and waits. */
  offered = $state.raw(false);
  #registration: ServiceWorkerRegistration | null = null;
  #asked = false;
  #looked = Date.now();

  /** Once the first screen is there. Resolves when the app is on this phone for good, or will not be
   *  this time. */
  async start(): Promise<void> {
    await new Promise((resolve) => window.addEventListener("load", resolve));
    const workers = (navigator as { serviceWorker?: ServiceWorkerContainer }).serviceWorker;
    if (!workers || import.meta.env.DEV) return;
    workers.addEventListener("controllerchange", () => this.#asked && location.reload());
    try {
      this.#registration = await workers.register("/sw.js", { updateViaCache: "none" });
    } catch (error) {
      // No signal, a portal's page, a browser that keeps nothing: the app goes on as a page.
      if (error instanceof TypeError || error instanceof DOMException) return;
      throw error;
    }
    const registration = this.#registration;
    this.#show(registration);
    registration.addEventListener("updatefound", () => this.#watch(registration));
    document.addEventListener("visibilitychange", () => void this.#look());
    if (registration.active === null) await this.#watch(registration);
  }

  /** Have the newer version now. Call where nothing is being typed. */
  async take(): Promise<void> {
    await Saver.settled();
    this.#asked = true;
    this.#registration?.waiting?.postMessage("take over");
  }

  #show({ waiting, active }: ServiceWorkerRegistration): void {
    this.offered = waiting !== null && active !== null;
  }

  /** Resolves when what is being installed is there, or has failed. */
  #watch(registration: ServiceWorkerRegistration): Promise<void> {
    const worker = registration.installing;
    if (worker === null) return Promise.resolve();
    return new Promise((resolve) =>
      worker.addEventListener("statechange", () => {
        this.#show(registration);
        if (worker.state === "activated" || worker.state === "redundant") resolve();
      }),
    );
  }

  async #look(): Promise<void> {
    if (document.visibilityState !== "visible" || Date.now() - this.#looked < LOOK_AGAIN_MS) return;
    this.#looked = Date.now();
    try {
      await this.#registration?.update();
    } catch (error) {
      if (!(error instanceof TypeError || error instanceof DOMException)) throw error; // no signal
    }
  }
}

export const updates = new Updates();
