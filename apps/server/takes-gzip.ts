import type { Context } from 'hono';

/** Whether who asks takes a compressed answer. */
export const takesGzip = (c: Context): boolean => /\bgzip\b/.test(c.req.header('Accept-Encoding') ?? '');
