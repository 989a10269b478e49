import type { Context } from 'hono';
import { refuse } from './refusal.ts';

/** The request's body as JSON says it, undefined where it is none; or the refusal of what is not sent as JSON, as a form is. */
export async function jsonOf(c: Context): Promise<unknown> {
  if (!/^application\/json\b/.test(c.req.header('content-type') ?? '')) {
    return refuse(c, 415, {
      code: 'server.not-json',
      what: 'the request is not JSON',
      mend: 'Send it with Content-Type: application/json',
    });
  }
  return c.req.json().catch(() => undefined);
}
