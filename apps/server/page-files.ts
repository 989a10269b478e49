import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { Fault } from '@striderule/engine';
import { resolveInside } from '@striderule/store';
import type { Context } from 'hono';
import { notFound } from './refusal.ts';
import { takesGzip } from './takes-gzip.ts';

const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.json': 'application/json; charset=utf-8',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.ico': 'image/x-icon',
  '.txt': 'text/plain; charset=utf-8',
  '.woff2': 'font/woff2',
};

/** Names the build made from the content: they never mean anything else. */
const HASHED = /^assets\/.+-[\w-]{8}\.[a-z0-9]+$/;

/**
 * Serves the built page from `webDir`; `/` is its index.html. What is not there, or leads out of it, is 404. A text goes compressed,
 * as the build laid it beside itself, to who takes it.
 */
export function pageFiles(webDir: string): (c: Context) => Promise<Response> {
  return async (c) => {
    try {
      const asked = decodeURIComponent(new URL(c.req.url).pathname).slice(1);
      const name = asked === '' ? 'index.html' : asked;
      const type = TYPES[path.extname(name)];
      if (type === undefined || name.split('/').some((part) => part.startsWith('.'))) return notFound(c);
      const packed = takesGzip(c)
        ? await readFile(resolveInside(webDir, `${name}.gz`)).catch(() => undefined)
        : undefined;
      const bytes = packed ?? (await readFile(resolveInside(webDir, name)));
      if (packed !== undefined) c.header('Content-Encoding', 'gzip');
      c.header('Vary', 'Accept-Encoding');
      c.header('Content-Type', type);
      c.header('Cache-Control', HASHED.test(name) ? 'private, max-age=31536000, immutable' : 'no-store');
      return c.body(bytes);
    } catch (error) {
      const gone = ['ENOENT', 'ENOTDIR', 'EISDIR'].includes((error as NodeJS.ErrnoException).code ?? '');
      if (gone || error instanceof URIError || error instanceof Fault) return notFound(c);
      throw error;
    }
  };
}
