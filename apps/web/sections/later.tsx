import { type ReactNode, startTransition, useEffect, useState } from 'react';

/** ms after which it comes though the browser never rests. */
const LATEST = 300;

/** What stands below the first screen: drawn once the page above it answers. Nothing above it moves when it comes. */
export function Later({ children }: { readonly children: ReactNode }) {
  const [now, setNow] = useState(false);
  useEffect(() => {
    const waiting = requestIdleCallback(() => startTransition(() => setNow(true)), { timeout: LATEST });
    return () => cancelIdleCallback(waiting);
  }, []);
  return now ? children : null;
}
