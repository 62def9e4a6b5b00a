/** Where a part, or a thing on its way to the server, stands. */
export type PartState =
  "unseen" | "seen" | "worn" | "no_access" | "not_determined" | "kept" | "sending" | "refused";

export const STATE_WORDS: Record<PartState, string> = {
  unseen: "not looked at yet",
  seen: "seen, sound",
  worn: "found worn",
  no_access: "could not get to it",
  not_determined: "not determined",
  kept: "kept on this phone",
  sending: "sending",
  refused: "refused: needs you",
};
