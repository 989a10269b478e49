/** ms after which it is called though the browser never rests. */
const LATEST = 300;

/**
 * Calls back when the page has been seen and has answered what was pressed meanwhile: after two frames, when the browser rests. A page behind
 * another one draws no frames, and waits until it is looked at. Returns how to stop.
 */
export function atRest(callback: () => void): () => void {
  let idle = 0;
  let frame = requestAnimationFrame(() => {
    frame = requestAnimationFrame(() => {
      idle = requestIdleCallback(callback, { timeout: LATEST });
    });
  });
  return () => {
    cancelAnimationFrame(frame);
    cancelIdleCallback(idle);
  };
}
