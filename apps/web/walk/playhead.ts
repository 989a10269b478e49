import type { Hairline } from '../hairline.ts';

/** Which tick of the chosen stride is read: finer than the hairline, which goes where it goes. */
export interface Playhead {
  /** Ticks from contact, and the last one that there is. */
  readonly tick: () => number;
  readonly last: number;
  readonly moveTo: (tick: number) => void;
  /** Called once at once, then after each move. Returns how to stop. */
  readonly follow: (follower: (tick: number) => void) => () => void;
}

/**
 * A hairline that stands at the tick itself, for what reads the same instant as the table of the tick; it ends where the ticks do. Where the tick
 * is the one nearest to a half per cent it stands at that, so that keys go on from there.
 */
export function tickHairline(playhead: Playhead, ticks: number): Hairline {
  const placeOf = (tick: number): number => {
    const place = (100 * tick) / ticks;
    const half = Math.round(2 * place) / 2;
    return Math.round((half * ticks) / 100) === tick ? half : place;
  };
  return {
    at: () => placeOf(playhead.tick()),
    moveTo: (percent) => playhead.moveTo((percent * ticks) / 100),
    follow: (follower) => playhead.follow((tick) => follower(placeOf(tick))),
  };
}

/** Half of the hairline's step, per cent: two places nearer than this are the same to it. */
const SAME = 0.2501;

/** A stride of `ticks` from contact to contact, of which those up to `last` are there. It stays with the hairline until `end`. */
export function makePlayhead(
  hairline: Hairline,
  ticks: number,
  last: number,
): Playhead & { readonly end: () => void } {
  const within = (tick: number): number => Math.min(last, Math.max(0, Math.round(tick)));
  const place = (tick: number): number => (100 * tick) / ticks;
  let now = within((hairline.at() * ticks) / 100);
  const followers = new Set<(tick: number) => void>();
  const go = (tick: number): void => {
    if (tick === now) return;
    now = tick;
    for (const follower of followers) follower(now);
  };
  const end = hairline.follow((percent) => {
    if (Math.abs(place(now) - percent) > SAME) go(within((percent * ticks) / 100));
  });
  return {
    tick: () => now,
    last,
    moveTo(tick) {
      go(within(tick));
      hairline.moveTo(place(now));
    },
    follow(follower) {
      followers.add(follower);
      follower(now);
      return () => followers.delete(follower);
    },
    end,
  };
}
