// The first script of the page, and the smallest: it runs while the others are on their way, and asks for what only the page that the
// address names needs. Without it that would be asked for when all others have run.

/** Under which this browser keeps where it was last. */
export const KEPT_PLACE = 'striderule.place';

/** In the document: of each later page the scripts that the first load does not have. The build lays it there. */
const SCRIPTS = 'page-scripts';

function pageNamed(): string | null {
  const own = new URLSearchParams(location.hash.slice(1)).get('page');
  if (own !== null) return own;
  try {
    return new URLSearchParams(localStorage.getItem(KEPT_PLACE) ?? '').get('page');
  } catch {
    return null; // storage refused by the browser
  }
}

const scripts: Readonly<Record<string, readonly string[]>> = JSON.parse(
  document.getElementById(SCRIPTS)?.textContent ?? '{}',
);
for (const href of scripts[pageNamed() ?? ''] ?? [])
  document.head.append(Object.assign(document.createElement('link'), { rel: 'modulepreload', href }));
