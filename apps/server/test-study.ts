import { cpSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { request } from 'node:http';
import { connect } from 'node:net';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { pack } from '../../tools/build-page.mjs';
import { type ServedStudy, serveStudy } from './serve-study.ts';

export const PAGE = '<!doctype html><title>page</title>';
export const SCRIPT = `console.log(${JSON.stringify('x'.repeat(5000))})`;

/** A copy of the demo study, a small built page, and a server over both, with a reader of its addresses. */
export interface TestStudy {
  readonly home: string;
  readonly folder: string;
  readonly server: ServedStudy;
  readonly cookie: string;
  readonly ask: (path: string, asking?: Asking) => Promise<Answer>;
  readonly end: () => Promise<void>;
}

export interface Asking {
  readonly method?: string;
  /** Added to, or with undefined taken from, what our own page sends. */
  readonly headers?: Readonly<Record<string, string | undefined>>;
  readonly body?: string;
}

export interface Answer {
  readonly status: number;
  readonly headers: Readonly<Record<string, string | string[] | undefined>>;
  readonly text: string;
}

export async function testStudy(): Promise<TestStudy> {
  const home = mkdtempSync(path.join(tmpdir(), 'striderule-server-'));
  const folder = path.join(home, 'tern');
  const webDir = path.join(home, 'web');
  cpSync(fileURLToPath(new URL('../../examples/tern', import.meta.url)), folder, { recursive: true });
  mkdirSync(path.join(webDir, 'assets'), { recursive: true });
  writeFileSync(path.join(webDir, 'index.html'), PAGE);
  writeFileSync(path.join(webDir, '.env'), 'SECRET');
  writeFileSync(path.join(webDir, 'assets', 'page-1a2B3c4D.js'), SCRIPT);
  writeFileSync(
    path.join(webDir, 'assets', 'face-1a2B3c4D.woff2'),
    Buffer.from([0x77, 0x4f, 0x46, 0x32, 0, 255]),
  );
  pack(webDir);
  writeFileSync(path.join(home, 'secret.txt'), 'SECRET');
  const server = await serveStudy({ folder, webDir });
  const first = await raw(server.port, server.url.slice(server.url.indexOf('/enter')), {});
  const cookie = String(first.headers['set-cookie']).split(';')[0]!;
  const ask = (at: string, { headers, ...rest }: Asking = {}) =>
    raw(server.port, at, { ...rest, headers: { cookie, ...headers } });
  const end = async () => {
    await server.close();
    rmSync(home, { recursive: true, force: true });
  };
  return { home, folder, server, cookie, ask, end };
}

/** One request with the path as it is given: nothing is tidied on the way out. */
export function raw(
  port: number,
  at: string,
  { method = 'GET', headers = {}, body }: Asking,
): Promise<Answer> {
  return new Promise((resolve, reject) => {
    const sent = Object.fromEntries(
      Object.entries(headers).filter(([, value]) => value !== undefined),
    ) as Record<string, string>;
    const asking = request(
      { host: '127.0.0.1', port, path: at, method, headers: sent, agent: false },
      (answer) => {
        const parts: Buffer[] = [];
        answer.on('data', (part: Buffer) => parts.push(part));
        answer.on('end', () =>
          resolve({
            status: answer.statusCode!,
            headers: answer.headers,
            text: Buffer.concat(parts).toString('latin1'),
          }),
        );
        answer.on('error', reject);
      },
    );
    asking.on('error', reject);
    asking.end(body);
  });
}

export interface ServerEvent {
  readonly event: string;
  readonly data: unknown;
}

/** Events of a stream as they come; ends when the server ends it or the reader stops. */
export async function* events(url: string, cookie: string): AsyncGenerator<ServerEvent> {
  const stop = new AbortController();
  try {
    const answer = await fetch(url, { headers: { cookie }, signal: stop.signal });
    if (answer.status !== 200) throw new Error(`${answer.status} ${await answer.text()}`);
    let text = '';
    for await (const part of answer.body!.pipeThrough(new TextDecoderStream())) {
      text += part;
      for (let end = text.indexOf('\n\n'); end >= 0; end = text.indexOf('\n\n')) {
        const fields = Object.fromEntries(
          text
            .slice(0, end)
            .split('\n')
            .map((line) => line.split(/: ?(.*)/s)),
        );
        text = text.slice(end + 2);
        yield { event: String(fields.event), data: fields.data ? JSON.parse(fields.data) : undefined };
      }
    }
  } finally {
    stop.abort();
  }
}

/** Whether anybody listens on the port. */
export function listens(port: number, host = '127.0.0.1'): Promise<boolean> {
  return new Promise((resolve) => {
    const socket = connect({ port, host });
    socket.once('connect', () => {
      socket.destroy();
      resolve(true);
    });
    socket.once('error', () => resolve(false));
  });
}
