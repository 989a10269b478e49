import { type ComponentType, type LazyExoticComponent, lazy } from 'react';
import { NotRead } from './sections/not-read.tsx';

/** A page in a file of its own: the first page does not wait for it. */
export interface LaterPage<P> {
  readonly Page: LazyExoticComponent<ComponentType<P>>;
  /** Reads the file ahead, so that the page opens although the server is gone by then. */
  readonly ahead: () => void;
}

/** Where the file cannot be had, the page says so; a file that was not had ahead is asked for again when the page is opened. */
export function laterPage<P>(load: () => Promise<{ readonly default: ComponentType<P> }>): LaterPage<P> {
  return {
    Page: lazy(() => load().catch(() => ({ default: NotRead as ComponentType<P> }))),
    ahead: () => {
      load().catch(() => undefined);
    },
  };
}
