import { existsSync, readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, test } from 'vitest';
import { ROOT } from './run-tool.ts';
import { trackedFiles } from './tracked-files.ts';

const PAGES = trackedFiles().filter((name) => name.endsWith('.md') && existsSync(path.join(ROOT, name)));

/** Chapters in which the functions of an engine room are told. */
const CHAPTERS: { readonly [room: string]: readonly string[] } = {
  quantity: ['docs/quantities.md', 'docs/notation.md'],
  numeric: ['docs/notation.md', 'docs/demand.md', 'docs/evidence.md'],
  gait: ['docs/demand.md', 'docs/notation.md'],
  drive: ['docs/drive.md'],
  control: ['docs/control.md'],
  walk: ['docs/walk.md'],
  evidence: ['docs/evidence.md'],
  study: ['docs/evidence.md', 'docs/study-folder.md', 'docs/control.md', 'docs/walk.md'],
};

const engine: Readonly<Record<string, unknown>> = await import('@striderule/engine');

const textOf = (page: string): string => readFileSync(path.join(ROOT, page), 'utf8');
const withoutCode = (text: string): string =>
  text.replace(/^```[\s\S]*?^```/gm, '').replace(/`[^`\n]*`/g, '');

/** The anchor that a heading gets: lower case, spaces to hyphens, marks dropped. */
function anchorOf(heading: string): string {
  return heading
    .trim()
    .toLowerCase()
    .replace(/[^\p{L}\p{N}\s_-]/gu, '')
    .replace(/\s/g, '-');
}

function anchorsOf(page: string): ReadonlySet<string> {
  const headings = textOf(page)
    .replace(/^```[\s\S]*?^```/gm, '')
    .matchAll(/^#{1,6}\s+(.+)$/gm);
  return new Set([...headings].map(([, heading]) => anchorOf(heading!)));
}

describe('links', () => {
  test.each(PAGES)('%s leads somewhere with each of its links', (page) => {
    const links = [...withoutCode(textOf(page)).matchAll(/\]\(([^()\s]+(?:\([^()\s]*\)[^()\s]*)*)\)/g)].map(
      ([, target]) => target!,
    );
    const dead = links.filter((link) => {
      if (/^(https?|mailto):/.test(link)) return false; // the machine may be offline
      const [file = '', anchor] = link.split('#');
      const target = file === '' ? page : path.posix.join(path.posix.dirname(page), file);
      if (!existsSync(path.join(ROOT, target))) return true;
      return anchor !== undefined && target.endsWith('.md') && !anchorsOf(target).has(anchor);
    });
    expect(dead).toEqual([]);
  });

  test('a dead link and a dead anchor would be seen', () => {
    expect(anchorsOf('docs/drive.md').has('motor-torque')).toBe(true);
    expect(anchorsOf('docs/drive.md').has('no-such-heading')).toBe(false);
    expect(withoutCode('`[a](b)` [c](d)')).toBe(' [c](d)');
  });
});

describe('chapters', () => {
  /** Functions that the index exports, with the room that makes them. */
  const exported = [
    ...textOf('engine/index.ts').matchAll(/^export \{([^}]*)\} from '\.\/([a-z]+)\/[^']+';/gm),
  ].flatMap(([, names, room]) =>
    names!
      .split(',')
      .map((name) => name.trim())
      .filter((name) => typeof engine[name] === 'function')
      .map((name) => [name, room!] as const),
  );

  test('the index was read', () => {
    expect(exported.map(([name]) => name)).toContain('faultText');
  });

  test.each(exported)('%s (%s) is named in its chapter', (name, room) => {
    const chapters = CHAPTERS[room] ?? [];
    const told = chapters.some((page) => new RegExp(`\\b${name}\\b`).test(textOf(page)));
    expect(told, `name ${name} in one of ${chapters.join(', ')}`).toBe(true);
  });

  test('every anchor that the engine gives as a chapter exists', () => {
    const sources = readdirSync(path.join(ROOT, 'engine'), { recursive: true, encoding: 'utf8' })
      .filter((name) => name.endsWith('.ts') && !name.endsWith('.test.ts') && !name.includes('node_modules'))
      .map((name) => textOf(path.join('engine', name)));
    const anchors = sources.flatMap((text) => [...text.matchAll(/'([a-z-]+\.md)#([a-z0-9-]+)'/g)]);
    const dead = anchors
      .filter(
        ([, page, anchor]) =>
          !existsSync(path.join(ROOT, 'docs', page!)) || !anchorsOf(`docs/${page}`).has(anchor!),
      )
      .map(([whole]) => whole);
    expect(dead).toEqual([]);
  });
});
