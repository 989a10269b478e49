import { type ReactNode, startTransition, useEffect, useState } from 'react';
import { atRest } from '../at-rest.ts';

interface LaterProps {
  /** Reads what they are drawn with, where that is in a file of its own. */
  readonly ahead?: () => Promise<void>;
  readonly children: ReactNode;
}

/** What stands below the first screen: drawn once the page above it answers. Nothing above it moves when it comes. */
export function Later({ ahead, children }: LaterProps) {
  const [now, setNow] = useState(false);
  useEffect(() => {
    let left = false;
    const stop = atRest(async () => {
      await ahead?.();
      if (!left) startTransition(() => setNow(true));
    });
    return () => {
      left = true;
      stop();
    };
  }, [ahead]);
  return now ? children : null;
}
