/** Shares of one core over the last second: of the ticks, and of everything that is done for a frame. */
export function frameLoad() {
  let [since, ticking, drawing, ticks, frames] = [Number.NaN, 0, 0, 0, 0];
  return (now: number, spent: { tick: number; draw: number; ticks: number }) => {
    if (Number.isNaN(since)) since = now;
    ticking += spent.tick;
    drawing += spent.draw;
    ticks += spent.ticks;
    frames++;
    if (now - since < 1000) return undefined;
    const all = now - since;
    const load = {
      ticks: (1000 * ticks) / all,
      tick: ticking / all,
      frame: (ticking + drawing) / all,
      frames,
    };
    [since, ticking, drawing, ticks, frames] = [now, 0, 0, 0, 0];
    return load;
  };
}
