import { type RefObject, useLayoutEffect, useState } from 'react';

/** px; narrower than any screen leaves a drawing. An element that measures less is not laid out yet. */
const NARROWEST = 200;

/** Width of an element in whole px, as it changes; while it is not laid out, the width before. */
export function useWidth(host: RefObject<HTMLElement | null>): number {
  const [width, setWidth] = useState(936);
  useLayoutEffect(() => {
    const element = host.current;
    if (element === null) return;
    const measure = () => {
      const width = Math.floor(element.clientWidth);
      if (width >= NARROWEST) setWidth(width);
    };
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(element);
    return () => observer.disconnect();
  }, [host]);
  return width;
}
