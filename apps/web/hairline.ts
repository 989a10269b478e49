/** Where on the stride the page is read, per cent: one for the page, moved without rendering anything anew. */
export interface Hairline {
  readonly at: () => number;
  readonly moveTo: (percent: number) => void;
  /** Called once at once, then at most once a frame. Returns how to stop. */
  readonly follow: (follower: (percent: number) => void) => () => void;
}

/** Half per cents, as the samples are; the slider ends at 0 and 100. */
export function makeHairline(start: number): Hairline {
  let percent = start;
  let waiting = false;
  const followers = new Set<(percent: number) => void>();
  return {
    at: () => percent,
    moveTo(to) {
      const next = Math.min(100, Math.max(0, Math.round(2 * to) / 2));
      if (next === percent || Number.isNaN(next)) return;
      percent = next;
      if (waiting) return;
      waiting = true;
      requestAnimationFrame(() => {
        waiting = false;
        for (const follower of followers) follower(percent);
      });
    },
    follow(follower) {
      followers.add(follower);
      follower(percent);
      return () => followers.delete(follower);
    },
  };
}

/** Index of the sample at a hairline position, of so many from end to end. */
export const sampleAt = (percent: number, count = 201): number => Math.round((percent * (count - 1)) / 100);

/** Where a key takes the hairline; undefined where it is none of ours. */
export function keyTarget(key: string, shift: boolean, percent: number): number | undefined {
  const step = shift ? 10 : 1;
  switch (key) {
    case 'ArrowLeft':
    case 'ArrowDown':
      return Math.ceil(percent) - step;
    case 'ArrowRight':
    case 'ArrowUp':
      return Math.floor(percent) + step;
    case 'PageDown':
      return percent - 10;
    case 'PageUp':
      return percent + 10;
    case 'Home':
      return 0;
    case 'End':
      return 100;
    default:
      return undefined;
  }
}

/** Writes text only where it differs: what has not changed is not laid out again. */
export function writeText(node: Node, text: string): void {
  if (node.textContent !== text) node.textContent = text;
}
