/* The heading of a screen takes the focus when the screen comes, so that a screen reader starts
   there and Tab goes on from there. */
export function here(node: HTMLElement): void {
  node.tabIndex = -1;
  node.classList.add("here");
  node.focus({ preventScroll: true });
  window.scrollTo(0, 0);
}
