import { router } from "../router.svelte.ts";

/* The heading of a screen takes the focus when the screen comes, so that a screen reader starts
   there and Tab goes on from there. */
export function here(node: HTMLElement): void {
  node.tabIndex = -1;
  node.classList.add("here");
  // A page just loaded is read from its top anyway.
  if (!router.moved) return;
  node.focus({ preventScroll: true });
  window.scrollTo(0, 0);
}
