/* A new inspection is begun: of a machine known already, with all that is known of it, or of a new one. */
import { habits } from "../habits.svelte.ts";
import { anyGuide } from "../lib/guide/guides.ts";
import { beginInspection } from "../lib/record/keep.ts";
import { emptySetup, setupForMachine } from "../lib/record/setup.ts";
import { phone } from "../phone.svelte.ts";
import { hashOf, router } from "../router.svelte.ts";

export async function lookAt(machineId: string | null): Promise<void> {
  const machine = machineId === null ? undefined : await phone.desk.machines.get(machineId);
  const account = phone.owner && !phone.owner.silent ? phone.owner : null;
  const usual = habits.forSetup(account);
  const setup = machine
    ? setupForMachine(machine, await usualPlaces(machine.kind), new Date(), usual)
    : emptySetup(new Date(), usual);
  router.go(hashOf("i", await beginInspection(phone.desk, setup, machineId), "setup"));
}

async function usualPlaces(kind: string): Promise<readonly string[]> {
  const guide = await anyGuide(phone.desk);
  return guide?.machine_kinds.find((one) => one.id === kind)?.places ?? [];
}
