import { type ReactNode, startTransition, useEffect, useState } from 'react';
import { atRest } from '../at-rest.ts';
import { PartNotRead } from './not-read.tsx';

interface LaterProps<P> {
  /** Reads the file that it is drawn with. The same function each time. */
  readonly load: () => Promise<P>;
  readonly children: (file: P) => ReactNode;
}

/** What stands below the first screen: read and drawn once the page above it answers. Nothing above it moves when it comes. */
export function Later<P>({ load, children }: LaterProps<P>) {
  const [got, setGot] = useState<{ readonly file: P } | 'lost'>();
  useEffect(() => {
    let left = false;
    const set = (to: typeof got) => {
      if (!left) startTransition(() => setGot(to));
    };
    const stop = atRest(() => {
      load().then(
        (file) => set({ file }),
        () => set('lost'),
      );
    });
    return () => {
      left = true;
      stop();
    };
  }, [load]);
  if (got === undefined) return null;
  return got === 'lost' ? <PartNotRead /> : children(got.file);
}
