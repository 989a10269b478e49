import {
  degFromRad,
  type PhaseMethod,
  type Rad,
  STEADY_NOISE,
  type SwingClearance,
  type SwingFollow,
  type SwingSteadiness,
  type SwingWhatIf,
} from '@striderule/engine';
import { CAUTION } from './caution.ts';
import { fixed, GAP } from './number-text.ts';
import { list, paragraph } from './paragraph.ts';
import { csv, table } from './table.ts';

type Open = { readonly openBecause: string };

/** What the command found. */
export interface SwingReport {
  readonly method: PhaseMethod;
  readonly tasks: {
    readonly follow: SwingFollow;
    readonly clearance: SwingClearance | Open;
    readonly steadiness: SwingSteadiness | Open;
    readonly whatIf?: SwingWhatIf | Open;
  }[];
  readonly leftOut: { readonly task: string; readonly title: string; readonly openBecause: string }[];
}

const NAMES: { readonly [method in PhaseMethod]: string } = {
  latch: 'latched thigh map with play',
  piecewise: 'piecewise-linear thigh map',
  plane: 'phase plane',
  oscillator: 'adaptive oscillator',
};

/** Phase that counts as standing still, share of the stride: one tick of walking. */
const STILL = 1e-3;

const degrees = (x: number, digits = 1): string => fixed(degFromRad(x as Rad), digits);
const told = <T>(of: T | Open | undefined, number: (of: T) => string): string =>
  of === undefined || (typeof of === 'object' && of !== null && 'openBecause' in of) ? GAP : number(of as T);

/** One line first: how closely it follows, whether it stops with the wearer, whether pace matters. */
export function swingVerdict({ method, tasks, leftOut }: SwingReport): string {
  if (tasks.length === 0)
    return `No swing can be judged: ${leftOut.map(({ title, openBecause }) => `${title}, ${openBecause}`).join('; ')}.`;
  const knee = tasks.reduce((a, b) => (b.follow.knee.rms > a.follow.knee.rms ? b : a));
  const steady = tasks.flatMap(({ steadiness }) => ('openBecause' in steadiness ? [] : [steadiness]));
  const [hold, warp] = [Math.max(...steady.map((s) => s.hold)), Math.max(...steady.map((s) => s.warp))];
  return paragraph(
    `Swing by ${NAMES[method]}: knee command within ${degrees(knee.follow.knee.rms)}° RMS of the stride${tasks.length === 1 ? '' : ` (${knee.follow.task} is worst)`}; held, the phase ${hold <= STILL ? 'stays' : `moves by ${fixed(100 * hold, 1)} % of a stride`}; pace ${warp <= STILL ? 'does not matter' : `moves it by ${fixed(100 * warp, 1)} %`}.`,
  );
}

/** Each task, how it holds, what if; what could not be judged; notes; cautions once. */
export function swingText(report: SwingReport): string {
  return [
    ...(report.tasks.length === 0 ? [] : [followTable(report), holdTable(report)]),
    ...(report.method === 'latch' && report.tasks.length > 0 ? [whatIfTable(report)] : []),
    ...(report.leftOut.length === 0
      ? []
      : [`Not judged\n${list(report.leftOut.map(({ task, openBecause }) => `${task}: ${openBecause}.`))}`]),
    notes(report),
    CAUTION,
  ].join('\n\n');
}

function followTable({ tasks }: SwingReport): string {
  return [
    'Command against the stride itself, from toe-off to contact',
    table(
      [
        { head: 'task', align: 'left' },
        { head: 'thigh’s way', unit: '°' },
        { head: 'leads to', unit: '% stride' },
        { head: 'then', align: 'left' },
        { head: 'phase off', unit: '% stride' },
        { head: 'knee RMS', unit: '°' },
        { head: 'worst', unit: '°' },
        { head: 'at contact', unit: '°' },
        { head: 'ankle RMS', unit: '°' },
        { head: 'forefoot', unit: 'mm' },
        { head: 'stride’s', unit: 'mm' },
      ],
      tasks.map(({ follow, clearance }) => [
        follow.task,
        degrees(follow.thighRange),
        follow.method === 'latch' ? fixed(100 * follow.fullPhase, 0) : GAP,
        follow.method === 'latch' ? (follow.finish ? 'finishes' : 'waits') : GAP,
        fixed(100 * follow.phaseError, 1),
        degrees(follow.knee.rms),
        degrees(follow.knee.worst),
        degrees(follow.knee.atContact),
        degrees(follow.ankle.rms),
        told(clearance, ({ commanded }) => fixed(commanded * 1e3, 0)),
        told(clearance, ({ own }) => fixed(own * 1e3, 0)),
      ]),
    ),
  ].join('\n');
}

function holdTable({ tasks }: SwingReport): string {
  return [
    `Thigh held 3 s at five angles; the same path at an uneven pace; thigh heard with noise of ${degrees(STEADY_NOISE.thigh)}° and ${degrees(STEADY_NOISE.rate, 0)}°/s`,
    table(
      [
        { head: 'task', align: 'left' },
        { head: 'held, phase moves', unit: '% stride' },
        { head: 'pace moves it', unit: '% stride' },
        { head: 'falls, thigh going forward', unit: '% stride' },
        { head: 'noise, RMS', unit: '% stride' },
      ],
      tasks.map(({ follow, steadiness }) => [
        follow.task,
        told(steadiness, ({ hold }) => fixed(100 * hold, 3)),
        told(steadiness, ({ warp }) => fixed(100 * warp, 3)),
        told(steadiness, ({ falls }) => fixed(100 * falls, 3)),
        told(steadiness, ({ noise }) => fixed(100 * noise, 3)),
      ]),
    ),
  ].join('\n');
}

function whatIfTable({ tasks }: SwingReport): string {
  return [
    'What if: thigh a fifth short of its way, thigh read 3° off, thigh held at its peak',
    table(
      [
        { head: 'task', align: 'left' },
        { head: 'short: knee left bent', unit: '° at contact' },
        { head: 'off: phase', unit: '% stride' },
        { head: 'off: knee', unit: '° at contact' },
        { head: 'held up: knee extends', unit: '° by itself' },
        { head: 'sole rises', unit: 'mm' },
      ],
      tasks.map(({ follow, whatIf }) => [
        follow.task,
        told(whatIf, ({ shortStep }) => degrees(shortStep)),
        told(whatIf, ({ thighOff }) => fixed(100 * thighOff.phaseError, 1)),
        told(whatIf, ({ thighOff }) => degrees(thighOff.kneeAtContact)),
        told(whatIf, ({ raisedHold }) => degrees(raisedHold.kneeExtends)),
        told(whatIf, ({ raisedHold }) => fixed(raisedHold.soleRises * 1e3, 0)),
      ]),
    ),
  ].join('\n');
}

/** Knee flexion beyond the stride's own at contact that is called dangerous, degrees. Our choice. */
const BENT = 10;

function notes({ method, tasks }: SwingReport): string {
  const bentBy = (of: (what: SwingWhatIf) => number): string[] =>
    tasks.flatMap(({ whatIf, follow }) =>
      whatIf !== undefined && !('openBecause' in whatIf) && degFromRad(of(whatIf) as Rad) > BENT
        ? [follow.task]
        : [],
    );
  const bent = bentBy(({ shortStep }) => shortStep);
  const misread = bentBy(({ thighOff }) => thighOff.kneeAtContact);
  const sources = [...new Set(tasks.map(({ follow }) => follow.trajectories))];
  return list([
    'Of commands: the joints are taken to do what they are told, the leg to stand as the stride does at toe-off, load and unload to be known at once.',
    ...(sources.length === 0 ? [] : [`Trajectories of ${sources.join('; of ')}.`]),
    ...(bent.length === 0
      ? []
      : [
          `DANGER: a thigh that comes a fifth short leaves the swing unfinished and the wearer lands on a bent knee (${bent.join(', ')}). Something beside the thigh must catch it.`,
        ]),
    ...(misread.length === 0
      ? []
      : [`DANGER: a thigh read 3° too far back never finishes its swing either (${misread.join(', ')}).`]),
    ...(method === 'latch'
      ? [
          'Where the thigh no longer leads, the swing finishes by itself at the pace of the stride: a foot held up over an edge moves. Off on stairs; --finish off elsewhere.',
          'The hip is as high as the other leg, taken as alike, and a level pelvis hold it: true to some centimetres, so forefoot heights compare commands.',
        ]
      : ['For comparison with the latched map: no blend from stance, no finish.']),
    ...(method === 'oscillator'
      ? ['An oscillator has a clock of its own: it walks on while the wearer stands.']
      : []),
    ...(method === 'piecewise'
      ? [
          'Full as soon as the thigh is back at its angle of contact, which is before its peak: the knee is then told to end its swing.',
        ]
      : []),
    ...(method === 'plane'
      ? ['Held, the speed is gone and with it half of the phase; its pace is the last stride’s.']
      : []),
  ]);
}

/** One row a task, SI units. */
export function swingCsv({ tasks }: SwingReport): string {
  return csv(
    [
      'task',
      'phase',
      'finish',
      'thigh_range_rad',
      'full_phase',
      'phase_error',
      'knee_rms_rad',
      'knee_worst_rad',
      'knee_at_contact_rad',
      'ankle_rms_rad',
      'forefoot_m',
      'own_forefoot_m',
      'hold',
      'warp',
      'short_step_knee_rad',
      'thigh_off_phase',
      'raised_hold_knee_rad',
    ],
    tasks.map(({ follow, clearance, steadiness, whatIf }) => {
      const [forefoot, steady] = [
        'openBecause' in clearance ? undefined : clearance,
        'openBecause' in steadiness ? undefined : steadiness,
      ];
      const what = whatIf === undefined || 'openBecause' in whatIf ? undefined : whatIf;
      return [
        follow.task,
        follow.method,
        follow.finish ? 'on' : 'off',
        follow.thighRange,
        follow.fullPhase,
        follow.phaseError,
        follow.knee.rms,
        follow.knee.worst,
        follow.knee.atContact,
        follow.ankle.rms,
        forefoot?.commanded,
        forefoot?.own,
        steady?.hold,
        steady?.warp,
        what?.shortStep,
        what?.thighOff.phaseError,
        what?.raisedHold.kneeExtends,
      ];
    }),
  );
}
