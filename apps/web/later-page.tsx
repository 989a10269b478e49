import { type ComponentType, lazy, useState } from 'react';
import { NotRead } from './sections/not-read.tsx';

/** A page, or a part of one, in a file of its own: the first page does not wait for it. */
export interface LaterPage<P> {
  readonly Page: ComponentType<P>;
  /** Reads the file ahead, so that the page opens at once, and although the server is gone by then. Never refuses. */
  readonly ahead: () => Promise<void>;
}

/** Where the file cannot be had, `instead` says so; a file that was not had ahead is asked for again when the page is opened. */
export function laterPage<P extends object>(
  load: () => Promise<{ readonly default: ComponentType<P> }>,
  instead: ComponentType = NotRead,
): LaterPage<P> {
  let read: ComponentType<P> | undefined;
  const Waited = lazy(() => load().catch(() => ({ default: instead as ComponentType<P> })));
  return {
    // a file that is there already must not be waited for: React would show its stand-in, and that for 300 ms
    Page(props) {
      const [Shown] = useState(() => read ?? Waited);
      return <Shown {...props} />;
    },
    ahead: () =>
      load().then(
        (file) => {
          read = file.default;
        },
        () => undefined,
      ),
  };
}
