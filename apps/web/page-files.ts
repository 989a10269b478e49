import { placeAtStart } from './place.ts';

/** Every page but the first, each in a file of its own. */
export const PAGE_FILES = {
  drive: () => import('./pages/drive.tsx'),
  control: () => import('./pages/control.tsx'),
  walk: () => import('./pages/walk.tsx'),
  evidence: () => import('./pages/evidence.tsx'),
};

// the page that the address names is asked for before anything is drawn; who shows it asks again, and says where it cannot be had
const { page } = placeAtStart();
if (page !== 'demand') PAGE_FILES[page]().catch(() => undefined);
