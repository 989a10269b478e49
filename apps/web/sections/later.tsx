import { type ReactNode, startTransition, useEffect, useState } from 'react';
import { atRest } from '../at-rest.ts';

/** What stands below the first screen: drawn once the page above it answers. Nothing above it moves when it comes. */
export function Later({ children }: { readonly children: ReactNode }) {
  const [now, setNow] = useState(false);
  useEffect(() => atRest(() => startTransition(() => setNow(true))), []);
  return now ? children : null;
}
