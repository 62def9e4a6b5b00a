/* What a person always answers the same is asked once: who they are, their units, name and role. */
import { NAME, phoneUnits, ROLE, UNITS, WHO } from "./lib/people/remembered.ts";
import { type Habits, usualRole } from "./lib/record/setup.ts";

export type Habit = "buyer" | "shop" | "yard";
type Account = { name: string } | null;
const PURPOSE: Record<Habit, string> = { buyer: "purchase", shop: "intake", yard: "coming_back" };

class PersonHabits {
  who = $state<Habit | null>(localStorage.getItem(WHO) as Habit | null);
  units = $state<"us" | "metric">(phoneUnits());
  name = $state(localStorage.getItem(NAME) ?? "");

  /** As what they last said to be there, where the purpose does not tell. */
  role = $state(localStorage.getItem(ROLE));

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
  standAs(role: string): void {
    this.role = role;
    localStorage.setItem(ROLE, role);
  }
  /** `account`: the person signed in for an organisation, who is no buyer there. */
  forSetup(account: Account): Habits {
    const who = this.#whoIn(account);
    const purpose = who ? PURPOSE[who] : account && "intake";
    return {
      units: this.units,
      name: this.name || (account?.name ?? ""),
      role: this.roleFor(purpose, account),
      purpose,
    };
  }
  roleFor(purpose: string | null, account: Account): string | null {
    return usualRole(purpose, this.role ?? this.#whoIn(account));
  }
  #whoIn(account: Account): Habit | null {
    return account && this.who === "buyer" ? null : this.who;
  }
  /** Another person, or nobody: what is remembered may be gone. */
  reread(): void {
    this.who = localStorage.getItem(WHO) as Habit | null;
    this.name = localStorage.getItem(NAME) ?? "";
    this.role = localStorage.getItem(ROLE);
  }
}

export const habits = new PersonHabits();
