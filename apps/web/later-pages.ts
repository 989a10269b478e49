import { laterPage } from './later-page.tsx';
import { placeAtStart } from './place.ts';

/** Every page but the first, each in a file of its own. */
export const LATER = {
  drive: laterPage(() => import('./pages/drive.tsx')),
  control: laterPage(() => import('./pages/control.tsx')),
  walk: laterPage(() => import('./pages/walk.tsx')),
  evidence: laterPage(() => import('./pages/evidence.tsx')),
};

/** Reads the page that the address names. */
export async function readFirstPage(): Promise<void> {
  const { page } = placeAtStart();
  if (page !== 'demand') await LATER[page].ahead();
}
