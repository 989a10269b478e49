import { laterPage } from './later-page.tsx';
import { PAGE_FILES } from './page-files.ts';
import { placeAtStart } from './place.ts';

export const LATER = {
  drive: laterPage(PAGE_FILES.drive),
  control: laterPage(PAGE_FILES.control),
  walk: laterPage(PAGE_FILES.walk),
  evidence: laterPage(PAGE_FILES.evidence),
};

/** Has the page that the address names ready to be shown. */
export async function firstPageReady(): Promise<void> {
  const { page } = placeAtStart();
  if (page !== 'demand') await LATER[page].ahead();
}
