import type { FaultData } from '@striderule/engine';
import type { FaultPayload } from '@striderule/wire';
import type { Context } from 'hono';
import type { ContentfulStatusCode } from 'hono/utils/http-status';

/** An answer that says what is wrong and how to mend it, in the shape every face words. */
export function refuse(c: Context, status: ContentfulStatusCode, ...faults: FaultData[]): Response {
  const payload: FaultPayload = { faults };
  c.header('Cache-Control', 'no-store');
  return c.json(payload, status);
}

export function notFound(c: Context): Response {
  return refuse(c, 404, {
    code: 'server.not-found',
    what: 'there is nothing at this address',
    mend: 'Start from the address that was printed at the start',
  });
}
