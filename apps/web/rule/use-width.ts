import { type RefObject, useLayoutEffect, useState } from 'react';

/** Width of an element in whole px, as it changes. */
export function useWidth(host: RefObject<HTMLElement | null>): number {
  const [width, setWidth] = useState(936);
  useLayoutEffect(() => {
    const element = host.current;
    if (element === null) return;
    const measure = () => setWidth(Math.floor(element.clientWidth));
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(element);
    return () => observer.disconnect();
  }, [host]);
  return width;
}
