import drawing from './drawing.css?raw';
import { type Mark, mark, toText } from './mark.ts';

/** Day values of the tokens that drawings use: a file is for print, whatever the page shows. */
const PRINT: Readonly<Record<string, string>> = {
  paper: '#ffffff',
  stance: '#eceee8',
  tongue: '#ffffff',
  ink: '#15212b',
  ink2: '#4a555e',
  ghost: '#5f6a72',
  engrave: '#7d878d',
  hair: '#d0d5cf',
  accent: '#c02d18',
  's-hip': '#756300',
  's-knee': '#0a1f5c',
  's-ankle': '#963c9c',
  's-force': '#06501f',
  sans: "'Sofia Sans Semi Condensed', 'Arial Narrow', Arial, sans-serif",
};

const printed = (css: string): string =>
  css
    .replace(/\/\*[\s\S]*?\*\//g, '')
    .replace(/var\(--([\w-]+)\)/g, (_, name: string) => PRINT[name] ?? 'inherit');

/** A drawing as a file that needs nothing else: its style inside, its meaning in title and description. */
export function svgFile(
  width: number,
  height: number,
  title: string,
  description: string,
  parts: readonly Mark[],
): string {
  return `<?xml version="1.0" encoding="UTF-8"?>\n${toText(
    mark(
      'svg',
      { xmlns: 'http://www.w3.org/2000/svg', width, height, viewBox: `0 0 ${width} ${height}`, role: 'img' },
      mark('title', {}, title),
      mark('desc', {}, description),
      mark('style', {}, printed(drawing)),
      mark('rect', { width, height, fill: '#ffffff' }),
      ...parts,
    ),
  )}\n`;
}
