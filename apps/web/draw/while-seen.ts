/**
 * Shows what `follow` tells: the first at once, then only while `element` is on the screen; the last that was missed when it comes back.
 * Returns how to stop. What is not seen is not drawn again, and the browser does not paint it beside what is.
 */
export function whileSeen<T>(
  element: Element,
  follow: (show: (value: T) => void) => () => void,
  show: (value: T) => void,
): () => void {
  let seen = true;
  let missed: { readonly value: T } | undefined;
  const stop = follow((value) => {
    if (seen) show(value);
    else missed = { value };
  });
  seen = false;
  const observer = new IntersectionObserver((entries) => {
    seen = entries.at(-1)?.isIntersecting ?? false;
    if (!seen || missed === undefined) return;
    const { value } = missed;
    missed = undefined;
    show(value);
  });
  observer.observe(element);
  return () => {
    observer.disconnect();
    stop();
  };
}
