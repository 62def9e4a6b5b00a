/* Where a keyboard lies over the page instead of making it shorter (Safari), the bench stands on the
   keyboard: Next is never beneath it. */
export function standOnKeyboard(): void {
  const seen = window.visualViewport;
  if (!seen) return;
  const place = () => {
    const magnified = seen.scale > 1.01; // a smaller part of the page is seen then, too
    const hidden = magnified ? 0 : window.innerHeight - seen.offsetTop - seen.height;
    document.documentElement.style.setProperty(
      "--keyboard",
      `${Math.max(0, Math.round(hidden))}px`,
    );
  };
  seen.addEventListener("resize", place);
  seen.addEventListener("scroll", place);
}
