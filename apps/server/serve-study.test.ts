import { expect, test } from 'vitest';
import { serveStudy } from './serve-study.ts';
import { events, listens, testStudy } from './test-study.ts';

test('close ends the streams that are open and frees the port', async () => {
  const study = await testStudy();
  const { port } = study.server;
  const stream = events(`http://127.0.0.1:${port}/api/study/changes`, study.cookie);
  expect((await stream.next()).value.event).toBe('state');
  const rest = stream.next();
  const start = Date.now();
  await Promise.all([study.server.close(), study.server.close()]);
  expect(Date.now() - start).toBeLessThan(2000);
  expect((await rest).done).toBe(true);
  expect(await listens(port)).toBe(false);
  const again = await serveStudy({ folder: study.folder, webDir: study.folder, port });
  expect(again.port).toBe(port);
  await expect(serveStudy({ folder: study.folder, webDir: study.folder, port })).rejects.toMatchObject({
    code: 'EADDRINUSE',
  });
  await again.close();
  await study.end();
});

test('a token is good for one start only, and two studies served at once keep their own', async () => {
  const [a, b] = [await testStudy(), await testStudy()];
  expect(a.cookie.split('=')[1]).not.toBe(b.cookie.split('=')[1]);
  expect((await a.ask('/', { headers: { cookie: `${b.cookie}; ${a.cookie}` } })).status).toBe(200);
  expect((await a.ask('/', { headers: { cookie: b.cookie } })).status).toBe(401);
  await a.end();
  await b.end();
});
