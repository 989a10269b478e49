import { type RefObject, useLayoutEffect, useState } from 'react';

/** px; narrower than any screen leaves a drawing. An element that measures less is not laid out yet. */
const NARROWEST = 200;

/** px, for the frame that holds a drawing's place before it is laid out. */
const EXPECTED = 936;

/** Width of an element in whole px. Until it is laid out, an expected one: nothing need be drawn at that. */
export interface Width {
  readonly width: number;
  readonly laidOut: boolean;
}

/** Width of an element, as it changes; while it is not laid out, the width before. */
export function useWidth(host: RefObject<HTMLElement | null>): Width {
  const [measured, setMeasured] = useState<number>();
  useLayoutEffect(() => {
    const element = host.current;
    if (element === null) return;
    const measure = () => {
      const width = Math.floor(element.clientWidth);
      if (width >= NARROWEST) setMeasured(width);
    };
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(element);
    return () => observer.disconnect();
  }, [host]);
  return { width: measured ?? EXPECTED, laidOut: measured !== undefined };
}
