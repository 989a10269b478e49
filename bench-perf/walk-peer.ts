import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { DRIVE } from '../engine/walk/walk-drive.ts';
import { COUNT, type DrivenRoom, KEPT, walkRoom } from '../engine/walk/walk-room.ts';
import type { WalkJoint, WalkSetup } from '../engine/walk/walk-setup.ts';
import { walkSteps } from '../engine/walk/walk-step.ts';
import { walkTick } from '../engine/walk/walk-tick.ts';

/** Steps that are run over and over from one state, in the middle of stance. */
const STEPS = 400;
const STEP = 1e-4;
const ROUNDS = 30;

/** The same steps in both languages: seconds of the fastest round each, and how far apart they end. */
export interface StepPeers {
  readonly ours: number;
  readonly theirs: number;
  readonly apart: number;
}

/** Our step against the same in C, or why there is none here. */
export function stepPeers(setup: WalkSetup): StepPeers | { readonly missing: string } {
  if (spawnSync('cc', ['--version'], { stdio: 'ignore' }).status !== 0)
    return { missing: 'no C compiler here' };
  const room = walkRoom(setup, STEP, 2);
  // from 80 % of a stride to 25 % of the next: the leg stands
  while (room.count[COUNT.step]! < 0.45 * room.course.steps) {
    walkTick(room);
    walkSteps(room, room.perTick);
  }
  const folder = mkdtempSync(path.join(tmpdir(), 'striderule-walk-'));
  try {
    const [program, input, output] = ['walk', 'input', 'output'].map((name) => path.join(folder, name));
    const source = path.join(import.meta.dirname, 'walk.c');
    run('cc', ['-O3', '-ffp-contract=off', '-o', program!, source, '-lm']);
    writeFileSync(input!, inputOf(room));
    const ours = fastest(room);
    const theirs = Number(run(program!, [input!, output!, String(ROUNDS)]));
    const bytes = readFileSync(output!);
    const end = new Float64Array(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength));
    const own = [...room.q, ...room.v, ...room.works, room.kept[KEPT.worst]!, room.kept[KEPT.moved]!];
    const apart = own.reduce(
      (worst, x, i) => Math.max(worst, Math.abs(x - end[i]!) / Math.max(1, Math.abs(x))),
      0,
    );
    return { ours, theirs, apart };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

function run(command: string, args: readonly string[]): string {
  const { status, stdout, stderr, error } = spawnSync(command, args, { encoding: 'utf8' });
  if (status !== 0) throw new Error(`${command} ${args.join(' ')}: ${error?.message ?? stderr}`);
  return stdout;
}

/** Seconds of processor time of the fastest round; leaves the room where the steps end. */
function fastest(room: DrivenRoom): number {
  const parts = [
    room.q,
    room.v,
    room.a,
    room.angles,
    room.kneeDrive,
    room.ankleDrive,
    room.anchors,
    room.power,
    room.works,
    room.kept,
  ] as const;
  const from = parts.map((part) => part.slice());
  const begin = room.count[COUNT.step]!;
  let best = Number.POSITIVE_INFINITY;
  for (let round = 0; round < ROUNDS; round++) {
    const before = process.cpuUsage();
    for (let again = 0; again < 100; again++) {
      parts.forEach((part, i) => {
        part.set(from[i]!);
      });
      room.count[COUNT.step] = begin;
      walkSteps(room, STEPS);
    }
    // both together, as in C: the kernel only guesses how the time of a short round divides into user's and system's
    const { user, system } = process.cpuUsage(before);
    best = Math.min(best, (user + system) / 1e8);
  }
  return best;
}

function inputOf(room: DrivenRoom): Float64Array {
  const { setup, course, chain, kept } = room;
  const { sole, guide } = setup;
  const stops = ({ stops: { from, to, stiffness, damping } }: WalkJoint) => [from, to, stiffness, damping];
  // what stands behind is the tick's
  const read = DRIVE.meeting + 1;
  return Float64Array.from([
    ...[STEPS, course.steps, room.first, sole.x.length, STEP, room.belt],
    ...[sole.damping, sole.friction, sole.stickStiffness, sole.stickDamping, guide.stiffness, guide.damping],
    ...[chain.gravity, chain.mass, chain.thighLength, chain.shankLength, chain.thighX, chain.thighZ],
    ...[chain.shankX, chain.shankZ, chain.footX, chain.footZ],
    ...[
      chain.thighInertia,
      chain.shankInertia,
      chain.footInertia,
      chain.kneeOutputInertia,
      chain.ankleOutputInertia,
    ],
    ...sole.x,
    ...sole.z,
    ...sole.stiffness,
    ...stops(setup.knee),
    ...stops(setup.ankle),
    ...room.q,
    ...room.v,
    ...room.a,
    ...room.angles,
    ...room.kneeDrive.subarray(0, read),
    ...room.ankleDrive.subarray(0, read),
    ...room.anchors,
    ...room.power,
    ...room.works,
    ...[kept[KEPT.start]!, kept[KEPT.sum]!, kept[KEPT.worst]!, kept[KEPT.moved]!],
    room.count[COUNT.step]!,
    ...course.table,
  ]);
}
