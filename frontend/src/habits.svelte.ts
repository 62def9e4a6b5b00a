/* What a person always answers the same is asked once: who they are, their units, their name. */
import { NAME, phoneUnits, UNITS, WHO } from "./lib/people/remembered.ts";
import type { Habits } from "./lib/record/setup.ts";

export type Habit = "buyer" | "shop" | "yard";
const PURPOSE: Record<Habit, string> = { buyer: "purchase", shop: "intake", yard: "coming_back" };

class PersonHabits {
  who = $state<Habit | null>(localStorage.getItem(WHO) as Habit | null);
  units = $state<"us" | "metric">(phoneUnits());
  name = $state(localStorage.getItem(NAME) ?? "");

  become(who: Habit): void {
    this.who = who;
    localStorage.setItem(WHO, who);
  }
  measureIn(units: "us" | "metric"): void {
    this.units = units;
    localStorage.setItem(UNITS, units);
  }
  call(name: string): void {
    this.name = name;
    localStorage.setItem(NAME, name);
  }
  /** `account`: the person signed in for an organisation, who is no buyer there. */
  forSetup(account: { name: string } | null): Habits {
    const who = account && this.who === "buyer" ? null : this.who;
    return {
      units: this.units,
      name: this.name || (account?.name ?? ""),
      role: who,
      purpose: who ? PURPOSE[who] : account && "intake",
    };
  }
  /** Another person, or nobody: what is remembered may be gone. */
  reread(): void {
    this.who = localStorage.getItem(WHO) as Habit | null;
    this.name = localStorage.getItem(NAME) ?? "";
  }
}

export const habits = new PersonHabits();
