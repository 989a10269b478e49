import { setImmediate } from 'node:timers/promises';
import {
  type DrivenJoint,
  evaluateDesign,
  Fault,
  RATIOS,
  ratioGrid,
  ratioScan,
  type StudyInput,
  scheduleRatio,
} from '@striderule/engine';
import { heading } from './heading.ts';
import { longWork } from './long-work.ts';
import { json, out, strong } from './print.ts';
import { type JointScan, scanCsv, scanText, scanVerdict } from './scan-table.ts';
import { oneForm, oneOf, readStudy } from './study-read.ts';
import type { Values } from './values.ts';

/** Ratios between --from and --to. */
const STEPS = 25;

/** `drive scan`: which ratios carry the tasks, and what each costs. Ctrl-C stops it; nothing is ever written. */
export async function driveScan(values: Values): Promise<number> {
  oneForm(values, 'json', 'csv');
  const { input } = await readStudy(values);
  const has = Object.keys(input.leg.joints) as DrivenJoint[];
  const joints = values.joint === undefined ? has : [oneOf('--joint', values.joint as string, has)];
  const ratios = ratiosOf(values);
  const design = evaluateDesign(input);
  const work = joints.flatMap((joint) =>
    motorsOf(input, joint, values.motors as string | undefined).map((motor) => ({ joint, motor })),
  );
  const found = new Map<DrivenJoint, JointScan>(
    joints.map((joint) => [joint, { joint, scans: [], optimum: scheduleRatio(input, design, joint) }]),
  );

  await longWork('Scanning', async (signal, shown) => {
    for (const [k, { joint, motor }] of work.entries()) {
      const own = input.leg.joints[joint]!.transmission.ratio;
      found.get(joint)!.scans.push(ratioScan(input, design, joint, { motor, ratios: [...ratios, own] }));
      if (work.length > joints.length) shown.to((k + 1) / work.length, `${joint}, ${motor}`);
      await setImmediate(); // so that Ctrl-C is heard
      signal.throwIfAborted();
    }
  });
  const scans = [...found.values()];
  if (values.json) {
    out(
      json({
        study: input.name,
        demo: input.demo,
        units:
          'SI: N·m, W, kg·m², rad/s, V; margins are limit ÷ need; null where not known, "Infinity" where no ratio carries',
        gears: 'those of the leg file at every ratio',
        motorsLeftOut: input.catalogue?.leftOut ?? [],
        joints: Object.fromEntries(scans.map(({ joint, ...rest }) => [joint, rest])),
      }),
    );
  } else if (values.csv) out(scanCsv(scans));
  else out(`${strong(scanVerdict(scans))}\n${heading(input)}\n\n${scanText(input, scans)}`);
  return 0;
}

/** The leg's own motor, one of the catalogue, or the leg's and then all others. */
function motorsOf(input: StudyInput, joint: DrivenJoint, given: string | undefined): readonly string[] {
  const own = input.leg.joints[joint]!.motor.name;
  if (given === undefined) return [own];
  const names = [
    own,
    ...(input.catalogue?.motors ?? []).map(({ motor }) => motor.name).filter((name) => name !== own),
  ];
  if (given === 'all') return names;
  // one that the catalogue does not tell enough of is answered by the engine, with what it lacks
  const lacking = (input.catalogue?.leftOut ?? []).map(({ name }) => name);
  return [oneOf('--motors', given, [...names, ...lacking])];
}

function ratiosOf(values: Values): readonly number[] {
  if (values.from === undefined && values.to === undefined) return RATIOS;
  const from = ratioOf('--from', values.from, RATIOS[0]!);
  const to = ratioOf('--to', values.to, RATIOS.at(-1)!);
  if (from < to) return ratioGrid(from, to, STEPS);
  throw new Fault({
    code: 'cli.ratios',
    what: `there is no ratio from ${from} to ${to}`,
    mend: 'Give the smaller one with --from, the larger one with --to',
  });
}

function ratioOf(option: string, given: string | boolean | undefined, otherwise: number): number {
  if (given === undefined) return otherwise;
  const ratio = Number(given);
  if (Number.isFinite(ratio) && ratio >= 1) return ratio;
  throw new Fault({
    code: 'cli.ratios',
    what: `${option} "${given}" is no ratio`,
    mend: 'Give motor speed ÷ joint speed, 1 or more, such as --from 9 --to 50',
  });
}
