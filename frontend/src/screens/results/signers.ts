/* Who the two are that sign, by what the inspection is for. */
import type { SignDraft } from "../../lib/record/signOff.ts";

type Signers = Record<SignDraft["signs"], string>;
const SHOP: Signers = { customer: "Customer", shop: "For the shop" };
const YARD: Signers = { customer: "Renter", shop: "For the yard" };
const BY_PURPOSE: Record<string, Signers> = {
  purchase: { customer: "Seller", shop: "Buyer" },
  going_out: YARD,
  coming_back: YARD,
};

export function signersOf(purpose: string): Signers {
  return BY_PURPOSE[purpose] ?? SHOP;
}

/** Is there work that whoever signs decides on? */
export function decidesOnWork(purpose: string): boolean {
  return signersOf(purpose) === SHOP;
}
