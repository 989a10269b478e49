import { useEffect, useState } from 'react';

export type Theme = 'day' | 'night';
const KEY = 'striderule.theme';

function chosen(): Theme | undefined {
  try {
    const kept = localStorage.getItem(KEY);
    return kept === 'day' || kept === 'night' ? kept : undefined;
  } catch {
    return undefined;
  }
}

const dark = (): MediaQueryList => matchMedia('(prefers-color-scheme: dark)');

/** The system's theme until the reader chooses one. */
export function useTheme(): readonly [Theme, () => void] {
  const [theme, setTheme] = useState<Theme>(() => chosen() ?? (dark().matches ? 'night' : 'day'));
  useEffect(() => {
    document.documentElement.dataset.theme = theme;
  }, [theme]);
  useEffect(() => {
    const query = dark();
    const follow = () => {
      if (chosen() === undefined) setTheme(query.matches ? 'night' : 'day');
    };
    query.addEventListener('change', follow);
    return () => query.removeEventListener('change', follow);
  }, []);
  const turn = () => {
    const next: Theme = theme === 'day' ? 'night' : 'day';
    setTheme(next);
    try {
      localStorage.setItem(KEY, next);
    } catch {
      // storage refused: holds until the page is closed
    }
  };
  return [theme, turn];
}
