import { symlinkSync } from 'node:fs';
import path from 'node:path';
import { gunzipSync } from 'node:zlib';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { PAGE, SCRIPT, type TestStudy, testStudy } from './test-study.ts';

let study: TestStudy;
beforeAll(async () => {
  study = await testStudy();
  symlinkSync(path.join(study.home, 'secret.txt'), path.join(study.home, 'web', 'link.txt'));
});
afterAll(() => study.end());

test('the page is never kept, hashed files are kept for good', async () => {
  const page = await study.ask('/');
  expect(page.text).toBe(PAGE);
  expect(page.headers).toMatchObject({
    'content-type': 'text/html; charset=utf-8',
    'cache-control': 'no-store',
  });
  const script = await study.ask('/assets/page-1a2B3c4D.js');
  expect(script.text).toBe(SCRIPT);
  expect(script.headers).toMatchObject({
    'content-type': 'text/javascript; charset=utf-8',
    'cache-control': 'private, max-age=31536000, immutable',
  });
  const face = await study.ask('/assets/face-1a2B3c4D.woff2');
  expect(face.headers['content-type']).toBe('font/woff2');
  expect(face.text).toBe('wOF2\0\u00ff');
});

test('scripts and the study go compressed to who takes it', async () => {
  for (const at of ['/assets/page-1a2B3c4D.js', '/api/study']) {
    const plain = await study.ask(at);
    const packed = await study.ask(at, { headers: { 'accept-encoding': 'gzip' } });
    expect(packed.headers['content-encoding']).toBe('gzip');
    expect(packed.text.length).toBeLessThan(plain.text.length / 2);
    expect(gunzipSync(Buffer.from(packed.text, 'latin1')).toString('latin1')).toBe(plain.text);
  }
});

test.each([
  '/../secret.txt',
  '/assets/../../secret.txt',
  '/%2e%2e/secret.txt',
  '/%2e%2e%2fsecret.txt',
  '/..%2fsecret.txt',
  '/assets/..%2f..%2fsecret.txt',
  '/%252e%252e%252fsecret.txt',
  '/..%5csecret.txt',
  '//etc/passwd',
  '/%2fetc%2fpasswd.txt',
  '/C:/secret.txt',
  '/index.html%00.js',
  '/%ff.js',
  '/%',
  '/.env',
  '/assets/.%2e/.env',
  '/link.txt',
  '/assets',
  '/assets/',
  '/index',
  '/secret.txt',
  '/api',
  '/api/nothing',
])('%s is 404', async (at) => {
  const answer = await study.ask(at);
  expect(answer.status).toBe(404);
  expect(answer.text).not.toContain('SECRET');
  expect(JSON.parse(answer.text).faults[0].what).toBe('there is nothing at this address');
});

test('a path that is no address at all is 400 before it is looked at', async () => {
  const answer = await study.ask('/..\\secret.txt');
  expect(answer.status).toBe(400);
  expect(answer.text).not.toContain('SECRET');
});
