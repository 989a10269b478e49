/** Every page but the first, each in a file of its own. */
export const PAGE_FILES = {
  drive: () => import('./pages/drive.tsx'),
  control: () => import('./pages/control.tsx'),
  walk: () => import('./pages/walk.tsx'),
  evidence: () => import('./pages/evidence.tsx'),
};
