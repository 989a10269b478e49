import { networkInterfaces } from 'node:os';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { listens, PAGE, raw, type TestStudy, testStudy } from './test-study.ts';

let study: TestStudy;
beforeAll(async () => {
  study = await testStudy();
});
afterAll(() => study.end());

const firstFault = (text: string) => JSON.parse(text).faults[0];

test('the printed address gives the cookie once and leaves no token in the address', async () => {
  const { url, port } = study.server;
  expect(url).toMatch(new RegExp(`^http://127\\.0\\.0\\.1:${port}/enter\\?token=[\\w-]{43}$`));
  const answer = await raw(port, url.slice(url.indexOf('/enter')), {});
  expect(answer.status).toBe(303);
  expect(answer.headers.location).toBe('/');
  const [cookie] = answer.headers['set-cookie'] as string[];
  expect(cookie).toMatch(new RegExp(`^striderule-${port}=[\\w-]{43}; `));
  expect(cookie!.split('; ').slice(1).sort()).toEqual(['HttpOnly', 'Path=/', 'SameSite=Strict']);
  expect((await study.ask('/')).text).toBe(PAGE);
});

test.each([
  '/',
  '/api/study',
  '/api/study/changes',
  '/assets/page-1a2B3c4D.js',
  '/nothing',
  '/api/imports/x/events',
])('%s without the token, or with a wrong one, is 401', async (at) => {
  for (const cookie of [
    undefined,
    '',
    `striderule-${study.server.port}=wrong`,
    study.cookie.slice(0, -1),
    study.cookie.replace('striderule', 'other'),
  ]) {
    const answer = await study.ask(at, { headers: { cookie } });
    expect(answer.status).toBe(401);
    expect(firstFault(answer.text)).toEqual({
      code: 'server.no-token',
      what: 'this address needs the token that was made at the start',
      mend: 'Open the whole address that `npm start` printed; after a restart it is a new one',
    });
  }
});

test.each(['/enter', '/enter?token=', '/enter?token=wrong'])('%s is 401 and gives no cookie', async (at) => {
  const answer = await raw(study.server.port, at, {});
  expect(answer.status).toBe(401);
  expect(answer.headers['set-cookie']).toBeUndefined();
});

test.each([
  'evil.example',
  'evil.example:PORT',
  '127.0.0.1',
  '127.0.0.1:1',
  '127.0.0.1.evil.example:PORT',
  'localhost.:PORT',
  '[::1]:PORT',
])('host %s is 421, with the token too', async (host) => {
  const answer = await study.ask('/api/study', {
    headers: { host: host.replace('PORT', String(study.server.port)) },
  });
  expect(answer.status).toBe(421);
  expect(firstFault(answer.text).what).toBe('this address does not belong to this server');
});

test('localhost is us as well', async () => {
  expect((await study.ask('/', { headers: { host: `localhost:${study.server.port}` } })).status).toBe(200);
});

test.each([
  'http://evil.example',
  'http://127.0.0.1:1',
  'https://127.0.0.1:PORT',
  'null',
  'http://127.0.0.1:PORT.evil.example',
  '',
])('origin %j is 403 for reads and writes', async (form) => {
  const origin = form.replace('PORT', String(study.server.port));
  for (const method of ['GET', 'POST', 'DELETE', 'PUT', 'OPTIONS']) {
    const answer = await study.ask('/api/study', { method, headers: { origin } });
    expect(answer.status).toBe(403);
    expect(firstFault(answer.text).what).toBe('the request comes from another page');
    expect(answer.headers['access-control-allow-origin']).toBeUndefined();
  }
});

test('a write that names no origin is 403, with the token too', async () => {
  for (const method of ['POST', 'DELETE', 'PUT', 'PATCH']) {
    expect(
      (await study.ask('/api/imports', { method, headers: { 'content-type': 'application/json' } })).status,
    ).toBe(403);
  }
});

test('a read that the browser calls cross-site is 403 though it names no origin', async () => {
  for (const site of ['cross-site', 'same-site']) {
    const headers = { 'sec-fetch-site': site, 'sec-fetch-mode': 'no-cors' };
    expect((await study.ask('/api/study', { headers })).status).toBe(403);
  }
});

test('nobody but this machine reaches the port', async () => {
  const others = Object.values(networkInterfaces())
    .flat()
    .filter((net) => net !== undefined && !net.internal && net.family === 'IPv4');
  for (const net of others) expect(await listens(study.server.port, net!.address)).toBe(false);
  expect(await listens(study.server.port)).toBe(true);
});

test('every answer, refusals too, says what a page may load and who may frame it', async () => {
  for (const answer of [
    await study.ask('/'),
    await study.ask('/api/study'),
    await study.ask('/no'),
    await raw(study.server.port, '/', {}),
  ]) {
    expect(answer.headers).toMatchObject({
      'content-security-policy':
        "default-src 'self'; img-src 'self' data: blob:; object-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'",
      'cross-origin-opener-policy': 'same-origin',
      'cross-origin-embedder-policy': 'require-corp',
      'cross-origin-resource-policy': 'same-origin',
      'x-content-type-options': 'nosniff',
      'referrer-policy': 'no-referrer',
    });
  }
});
