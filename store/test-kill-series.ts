import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { build } from 'vite';
import { writeFileAtomic } from './atomic-write.ts';
import { versionIn, versionText } from './test-version-text.ts';

const LONGEST_MS = 40; // a save of 400 kB takes a few ms here: kills fall into all its parts

/**
 * Kills `saver`, a program that saves, with SIGKILL `times` times at pseudo-random instants. After each kill the file
 * must hold one of the versions written, whole. Gives how often it had moved on and what stands in the folder after.
 */
export async function killSeries(
  times: number,
  saver = './test-save-loop.ts',
): Promise<{ moved: number; left: string[] }> {
  const folder = await mkdtemp(path.join(tmpdir(), 'striderule-kill-'));
  try {
    const program = await bundle(folder, saver);
    const study = await mkdtemp(path.join(folder, 'study-'));
    const file = path.join(study, 'leg.yaml');
    await writeFile(path.join(study, '.notes.yaml.swp'), 'not ours');
    await writeFileAtomic(file, versionText(0));
    const random = lcg(20251125);
    let [version, moved] = [0, 0];
    for (let k = 0; k < times; k++) {
      const child = spawn(process.execPath, [program, file, String(version + 1)], {
        stdio: ['ignore', 'pipe', 'inherit'],
      });
      const ended = once(child, 'exit');
      await Promise.race([once(child.stdout, 'data'), ended]);
      await sleep(random() * LONGEST_MS);
      child.kill('SIGKILL');
      await ended;
      if (child.signalCode !== 'SIGKILL') throw new Error('the saving process ended by itself');
      const now = versionIn(await readFile(file, 'utf8'));
      if (now < version + 1) throw new Error(`version ${version + 1} was saved, ${now} is there`);
      if (now > version + 1) moved++;
      version = now;
    }
    await writeFileAtomic(file, versionText(version + 1)); // sweeps what the last kill left
    return { moved, left: (await readdir(study)).sort() };
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

/** The saving program as one plain file: starting it through a TypeScript loader would take most of the time. */
async function bundle(folder: string, saver: string): Promise<string> {
  await build({
    configFile: false,
    logLevel: 'error',
    build: {
      ssr: fileURLToPath(new URL(saver, import.meta.url)),
      outDir: path.join(folder, 'program'),
      target: 'node20',
      rollupOptions: { output: { entryFileNames: 'save-loop.mjs' } },
    },
    ssr: { noExternal: true },
  });
  return path.join(folder, 'program', 'save-loop.mjs');
}

/** Numerical Recipes' quick generator: the same instants in every run. */
function lcg(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}
