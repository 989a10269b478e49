// Who may ask. The server listens on 127.0.0.1, but every page in the same browser can send requests there, so each
// request is checked, in this order:
//
//   Host     must be ours (421): a foreign name that was pointed at 127.0.0.1 is not
//   Origin   must be ours where the browser names one, and must be named on a write (403); a fetch that the browser
//            itself calls cross-site is refused even where it names no origin (403)
//   cookie   must hold the token of this start (401); it is given by /enter?token=…, the address that is printed,
//            which redirects to / so that the token does not stay in the address bar or the history's top
//
// The cookie is HttpOnly and SameSite=Strict. Cookies know no ports, so its name carries ours: two studies served at
// once do not put each other out.

import { createHash, randomBytes, timingSafeEqual } from 'node:crypto';
import type { Context, MiddlewareHandler } from 'hono';
import { getCookie, setCookie } from 'hono/cookie';
import { refuse } from './refusal.ts';

export const newToken = (): string => randomBytes(32).toString('base64url');

/** `port` is asked at each request: it is known only once the server listens. */
export interface Gate {
  readonly token: string;
  readonly port: () => number;
}

const names = (port: number): string[] => [`127.0.0.1:${port}`, `localhost:${port}`];

export function checkHost({ port }: Gate): MiddlewareHandler {
  return async (c, next) => {
    if (names(port()).includes(c.req.header('host') ?? '')) return next();
    return refuse(c, 421, {
      code: 'server.wrong-host',
      what: 'this address does not belong to this server',
      mend: 'Open the address that was printed at the start',
    });
  };
}

export function checkOrigin({ port }: Gate): MiddlewareHandler {
  return async (c, next) => {
    const origin = c.req.header('origin');
    const reads = c.req.method === 'GET' || c.req.method === 'HEAD';
    const ours = origin === undefined ? reads : names(port()).some((name) => origin === `http://${name}`);
    // sent by browsers only; a navigation from elsewhere is stopped by the cookie, which is not sent with it
    const site = c.req.header('sec-fetch-site') ?? 'same-origin';
    const near =
      site === 'same-origin' || site === 'none' || (reads && c.req.header('sec-fetch-mode') === 'navigate');
    if (ours && near) return next();
    return refuse(c, 403, {
      code: 'server.foreign-origin',
      what: 'the request comes from another page',
      mend: 'Use the page that this server serves',
    });
  };
}

export function enter(gate: Gate): (c: Context) => Response {
  return (c) => {
    if (!same(c.req.query('token') ?? '', gate.token)) return noToken(c);
    setCookie(c, cookieName(gate), gate.token, { httpOnly: true, sameSite: 'Strict', path: '/' });
    c.header('Cache-Control', 'no-store');
    return c.redirect('/', 303);
  };
}

export function checkToken(gate: Gate): MiddlewareHandler {
  return async (c, next) => {
    if (same(getCookie(c, cookieName(gate)) ?? '', gate.token)) return next();
    return noToken(c);
  };
}

const cookieName = ({ port }: Gate): string => `striderule-${port()}`;

/** Compares in a time that does not tell how much of it is right. */
function same(given: string, token: string): boolean {
  const hash = (text: string) => createHash('sha256').update(text).digest();
  return timingSafeEqual(hash(given), hash(token));
}

function noToken(c: Context): Response {
  return refuse(c, 401, {
    code: 'server.no-token',
    what: 'this address needs the token that was made at the start',
    mend: 'Open the whole address that `npm start` printed; after a restart it is a new one',
  });
}
