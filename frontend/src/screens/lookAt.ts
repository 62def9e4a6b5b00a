/* A new inspection is begun: of a machine known already, with all that is known of it, or of a new one. */
import { habits } from "../habits.svelte.ts";
import type { Purpose } from "../lib/documents.ts";
import { anyGuide, usualWalk } from "../lib/guide/guides.ts";
import { beginInspection } from "../lib/record/keep.ts";
import { emptySetup, setupForMachine } from "../lib/record/setup.ts";
import { phone } from "../phone.svelte.ts";
import { hashOf, router } from "../router.svelte.ts";

export async function lookAt(machineId: string | null): Promise<void> {
  const machine = machineId === null ? undefined : await phone.desk.machines.get(machineId);
  const account = phone.owner && !phone.owner.silent ? phone.owner : null;
  const usual = habits.forSetup(account);
  const guide = await anyGuide(phone.desk);
  const places = guide?.machine_kinds.find((one) => one.id === machine?.kind)?.places ?? [];
  const setup = machine
    ? setupForMachine(machine, places, new Date(), usual)
    : emptySetup(new Date(), usual);
  // Without a guide yet, the set-up itself asks for what is usual once there is one.
  const begun = guide ? { ...setup, ...usualWalk(guide, setup.purpose as Purpose | null) } : setup;
  router.go(hashOf("i", await beginInspection(phone.desk, begun, machineId), "setup"));
}
