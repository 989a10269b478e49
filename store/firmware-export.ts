import { mkdir, readdir, readFile, rename, rm, writeFile } from 'node:fs/promises';
import path from 'node:path';
import {
  type ControlledLeg,
  type Controller,
  controllerExercise,
  Fault,
  firmwareSizes,
  firmwareTables,
  firmwareTableText,
  recordLog,
  SAME,
  timeToSafe,
} from '@striderule/engine';
import { controllerLogText } from './controller-log.ts';
import { fingerprint } from './fingerprint.ts';
import { writeFault } from './write-fault.ts';

/** On top of every file. */
const FIRMWARE_CAUTION = [
  'CAUTION. This controller decides whether a knee bears weight. It equals a model on paper and has proved nothing on a leg.',
  'Tethered bench, emergency stop, every fault provoked in every part of the stride; only then overhead harness, ethics board,',
  'licensed prosthetist, and the standards and local codes that apply. It is no safety function: the electronics’ own limits,',
  'watchdog and stop stand beside it.',
];

/** Files that do not change with the controller. */
const FIXED = ['controller.h', 'controller.c', 'harness.c'] as const;

export interface FirmwareExport {
  readonly folder: string;
  readonly leg: ControlledLeg;
  /** Ticks of the test vectors, and their seed. */
  readonly ticks: number;
  readonly seed: number;
  /** What else the head of each file says: study, wearer, demo mark. */
  readonly about: readonly string[];
}

/** Fingerprint of the tables that run: controller, wearer, leg and strides together. */
export const buildFingerprint = ({ fingerprint: controller, compiled }: ControlledLeg): string =>
  fingerprint({
    controller,
    period: compiled.period,
    filterPole: compiled.filterPole,
    initial: compiled.initial,
    tables: firmwareTables(compiled).map(({ name, values }) => ({ name, values })),
  });

/**
 * Writes the controller as C99 with tables, test vectors, a harness and a README into a folder that is empty or not there yet; gives the
 * names of the files. Made beside the folder and renamed when whole.
 */
export async function exportFirmware(of: FirmwareExport): Promise<readonly string[]> {
  const { folder, leg, ticks, seed, about } = of;
  const there = await readdir(folder).catch((error: NodeJS.ErrnoException) => {
    if (error.code === 'ENOENT') return [];
    if (error.code !== 'ENOTDIR') throw error;
    return ['a file'];
  });
  if (there.length > 0) {
    throw new Fault({
      code: 'store.folder-not-empty',
      what: `${folder} already has something in it, and nothing there is overwritten`,
      mend: 'Choose a folder that is empty or not there yet',
    });
  }
  const { compiled, controller } = leg;
  const hashes = { controller: leg.fingerprint, build: buildFingerprint(leg) };
  // a study's name must not end the comment it stands in
  const commented = (text: string): string =>
    `${[...FIRMWARE_CAUTION, ...about]
      .map(
        (line, k) =>
          `${k === 0 ? '/*' : ' *'} ${line.replace(/\s+/g, ' ').replaceAll('*/', '* /').replaceAll('/*', '/ *')}`,
      )
      .join('\n')} */\n\n${text}`;
  const log = recordLog(compiled, controllerExercise(compiled, ticks, seed));
  const files: Record<string, string> = {
    'sizes.h': commented(firmwareSizes(compiled)),
    'tables.h': commented(firmwareTableText(compiled, hashes)),
    'vectors.csv': controllerLogText(log, [...FIRMWARE_CAUTION, ...about], {
      ...hashes,
      period: compiled.period,
    }),
    'README.md': readme(leg, controller, hashes, of),
  };
  for (const name of FIXED)
    files[name] = await readFile(new URL(`./firmware/${name}`, import.meta.url), 'utf8');
  const making = path.join(path.dirname(folder), `.${path.basename(folder)}.new-${process.pid}`);
  try {
    await mkdir(making, { recursive: true });
    for (const [name, text] of Object.entries(files)) await writeFile(path.join(making, name), text);
    await rename(making, folder); // takes the place of an empty folder too
  } catch (error) {
    await rm(making, { recursive: true, force: true }).catch(() => {});
    throw writeFault(error, folder);
  }
  return Object.keys(files).sort();
}

const ms = (x: number): string => `${(1e3 * x).toFixed(0)} ms`;
const degrees = (x: number): string => `${((180 / Math.PI) * x).toFixed(0)}°`;

const returned = ({ returned: r }: Controller['limits']['knee']): string =>
  r === undefined
    ? 'not limited'
    : `${r.power.toFixed(0)} W, fading ${r.fadeBus.toFixed(1)} … ${r.bus.toFixed(1)} V`;

function readme(
  leg: ControlledLeg,
  controller: Controller,
  hashes: { readonly controller: string; readonly build: string },
  { ticks, seed, about }: FirmwareExport,
): string {
  const limits = Object.entries(controller.limits).map(
    ([joint, l]) =>
      `| ${joint} | ${l.torque.toFixed(0)} N·m, ${degrees(l.from)} … ${degrees(l.to)}, fading over ${degrees(l.margin)} | fades ${degrees(l.fadeSpeed)} … ${degrees(l.speed)} a second | fades ${(l.warm - 273.15).toFixed(0)} … ${(l.hot - 273.15).toFixed(0)} °C | ${returned(l)} | ${l.slew.toFixed(0)} N·m/s |`,
  );
  const faults = controller.watches.map((watch, k) => {
    const leads = watch.reaction === 'warn' ? 'a warning' : (watch.to ?? 'the safe state of the present one');
    const safe = watch.reaction === 'warn' ? '' : ms(timeToSafe(controller, watch, leg.timing));
    return `| ${k + 1} | ${watch.name} | ${watch.sensor} ${watch.detect} | ${watch.detect === 'jump' ? 'at once' : ms(watch.time)} | ${leads} | ${safe} |`;
  });
  return `> ${FIRMWARE_CAUTION.join('\n> ')}

# ${controller.name}, version ${controller.version}

${about.join('  \n')}

| | |
|---|---|
| controller | \`${hashes.controller}\` |
| build | \`${hashes.build}\` |
| period | ${ms(leg.compiled.period)}, fixed |

Write both fingerprints into the head of every log: a log can then be traced and run again.

## Control order

\`ctl_reset\` once, \`ctl_checksum() == ctl_stated_checksum\` before the first tick, then \`ctl_tick\` every period:

1. read every sensor at one instant; what is not known is NaN
2. plausibility and faults; the first in the list that acts leads to its safe state, latched
3. events: at most one transition
4. phase and trajectory of the state that is now
5. torque, then limits: position, speed, heat, power returned to the bus, change of torque
6. out: torque of both joints in this same period, \`shorted\` above torque; log what was read and what came out

Most errors in the field are one sample of order. No allocation, no recursion, no clock, float32 throughout; cosf, sinf, sqrtf, roundf and floorf of the C library, nothing else. Not with \`-ffast-math\`: NaN must stay NaN. Angles: knee flexion and ankle dorsiflexion positive, thigh forward of the vertical positive, torque in the direction of the angle it would increase.

## Test

    cc -std=c99 -Wall -Wextra -Werror -O2 -o harness controller.c harness.c -lm && ./harness vectors.csv

${ticks} ticks, seed ${seed}, with sensors that fail: torque within ${SAME.torque} N·m + ${SAME.torqueShare}·|τ|, phase within ${SAME.phase}, states, faults and warnings equal. Run it on the target as well. Every reading in \`vectors.csv\` is a float32 value; an empty cell is NaN.

## Limits, in order

| joint | torque by position | speed | heat | returned to the bus | change |
|---|---|---|---|---|---|
${limits.join('\n')}

## Faults

| number | fault | watched | longer than | leads to | torque safe after |
|---|---|---|---|---|---|
${faults.join('\n')}

## Known limits

${controller.knownLimits.map((line) => `- ${line}`).join('\n')}
`;
}
