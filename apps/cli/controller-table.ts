import {
  type Behaviour,
  type ControlledLeg,
  type Controller,
  degFromRad,
  type FaultData,
  type Rad,
  type StudyController,
  timeToSafe,
} from '@striderule/engine';
import { CAUTION } from './caution.ts';
import { fixed, GAP } from './number-text.ts';
import { list, paragraph } from './paragraph.ts';
import { table } from './table.ts';

/** What the command found: the chosen controller, as it runs on this leg where it can, and its faults. */
export interface ControllerReport {
  readonly chosen: StudyController | undefined;
  readonly leg?: ControlledLeg;
  readonly openBecause?: string;
  readonly faults: readonly FaultData[];
}

const degrees = (x: number): string => fixed(degFromRad(x as Rad), 0);
const three = (x: number): string => String(Number(x.toPrecision(3)));
const ms = (x: number): string => fixed(1e3 * x, 0);

/** One line first: is it sound as a machine, and which one is it. */
export function controllerVerdict({ chosen, openBecause, faults }: ControllerReport): string {
  if (chosen === undefined || openBecause !== undefined)
    return paragraph(`No controller can be judged: ${openBecause ?? 'the study names none'}.`);
  const { controller, fingerprint, id } = chosen;
  const { states, transitions, watches } = controller;
  const found =
    faults.length === 0 ? 'nothing found wrong' : faults.length === 1 ? '1 fault' : `${faults.length} faults`;
  return paragraph(
    `Controller ${id}, version ${controller.version}, ${fingerprint.slice(0, 12)}: ${found} in ${states.length} states, ${transitions.length} transitions and ${watches.length} watched faults.`,
  );
}

/** States, transitions, faults and limits, one table each; what is known to be missing; cautions. */
export function controllerText({ chosen, leg }: ControllerReport): string {
  if (chosen === undefined) return CAUTION;
  const { controller } = chosen;
  return [
    stateTable(controller),
    transitionTable(controller),
    faultTable(controller, leg),
    limitTable(controller),
    `Known limits\n${list(controller.knownLimits.map((line) => `${line}.`))}`,
    list([
      'The checker looks at postures on a grid and at nothing that moves: nothing found is no proof.',
      'Which state is safe in which part of the stride is a choice that the risk analysis must carry.',
      'Gains are those of the joint; the software holds stiffer ones where the angle is measured before the gears.',
    ]),
    CAUTION,
  ].join('\n\n');
}

function told(of: Behaviour): string {
  switch (of.kind) {
    case 'shorted':
      return 'phases shorted';
    case 'schedule':
      return `schedule ${of.schedule}`;
    case 'thigh':
      return `led by the thigh, ${three(of.stiffness)}, ${three(of.damping)}${of.carries ? `, carrying ${three(100 * of.carries)} % of itself` : ''}`;
    case 'spring': {
      if (of.stiffness === 0) return of.damping === 0 ? 'free' : `damped, ${three(of.damping)}`;
      const pace = of.approach === undefined ? '' : ` at ${degrees(of.approach)}°/s`;
      return `${three(of.stiffness)} to ${degrees(of.equilibrium)}°${pace}, ${three(of.damping)}`;
    }
  }
}

const left = (head: string) => ({ head, align: 'left' }) as const;

const stateTable = ({ states, initial }: Controller): string =>
  [
    'States: stiffness, N·m/rad, to where, damping, N·m·s/rad',
    table(
      [left('state'), left('bears'), left('phase'), left('knee'), left('ankle'), left('a fault leads to')],
      states.map((state) => [
        state.name === initial ? `${state.name} (begins)` : state.name,
        state.bears,
        state.phase ?? GAP,
        told(state.knee),
        told(state.ankle),
        state.safe ?? 'safe itself',
      ]),
    ),
  ].join('\n');

/** Signals as they are read in a table, with the unit they are shown in. */
const SHOWN: { readonly [signal: string]: readonly [name: string, factor: number, unit: string] } = {
  load: ['load', 100, ' % of weight'],
  thigh: ['thigh', 180 / Math.PI, '°'],
  thighRate: ['thigh', 180 / Math.PI, '°/s'],
  knee: ['knee', 180 / Math.PI, '°'],
  kneeRate: ['knee', 180 / Math.PI, '°/s'],
  ankle: ['ankle', 180 / Math.PI, '°'],
  phase: ['phase', 100, ' %'],
  release: ['release', 1, ''],
};

const transitionTable = ({ transitions }: Controller): string =>
  [
    'Transitions, the least first where several are due',
    table(
      [
        left('from'),
        left('to'),
        left('when'),
        { head: 'held', unit: 'ms' },
        { head: 'not before', unit: 'ms' },
        { head: 'order' },
      ],
      transitions.map(({ from, to, when, hold, after, priority }) => [
        from,
        to,
        when
          .map(({ signal, above, below }) => {
            const [name, factor, unit] = SHOWN[signal]!;
            const shown = (x: number): string => fixed(factor * x, signal === 'release' ? 1 : 0);
            return above !== undefined && below !== undefined
              ? `${shown(above)} < ${name} < ${shown(below)}${unit}`
              : above !== undefined
                ? `${name} > ${shown(above)}${unit}`
                : `${name} < ${shown(below!)}${unit}`;
          })
          .join(', '),
        ms(hold),
        after === 0 ? GAP : ms(after),
        fixed(priority, 0),
      ]),
    ),
  ].join('\n');

const faultTable = (controller: Controller, leg: ControlledLeg | undefined): string =>
  [
    'Faults: what is watched, what follows, how soon the torque is safe',
    table(
      [
        left('fault'),
        left('sensor'),
        left('detected'),
        left('beyond'),
        { head: 'longer than', unit: 'ms' },
        left('leads to'),
        { head: 'safe after', unit: 'ms' },
        { head: 'declared', unit: 'ms' },
      ],
      controller.watches.map((watch) => [
        watch.name,
        watch.sensor,
        watch.detect,
        beyondText(watch),
        watch.detect === 'jump' ? GAP : ms(watch.time),
        watch.reaction === 'warn' ? 'a warning' : (watch.to ?? 'the state’s own safe one'),
        watch.reaction === 'warn' || leg === undefined ? GAP : ms(timeToSafe(controller, watch, leg.timing)),
        watch.within === undefined ? GAP : ms(watch.within),
      ]),
    ),
  ].join('\n');

type Watch = Controller['watches'][number];

/** How a sensor's reading is shown: name of the unit, and factor. */
const READ: {
  readonly [sensor in Watch['sensor']]: readonly [factor: number, unit: string, offset?: number];
} = {
  thigh: [180 / Math.PI, '°'],
  thighRate: [180 / Math.PI, '°/s'],
  knee: [180 / Math.PI, '°'],
  ankle: [180 / Math.PI, '°'],
  load: [100, ' % of weight'],
  kneeWinding: [1, ' °C', -273.15],
  ankleWinding: [1, ' °C', -273.15],
  bus: [1, ' V'],
  elapsed: [1e3, ' ms'],
  release: [1, ''],
  kneeSecond: [180 / Math.PI, '°'],
  ankleSecond: [180 / Math.PI, '°'],
};

/** From where on a watch finds something; a jump and a difference have no zero of their own. */
function beyondText({ sensor, limit, low, high }: Watch): string {
  const [factor, unit, offset = 0] = READ[sensor];
  const shown = (x: number): string => fixed(factor * x + offset, 0);
  if (limit !== undefined) return `${three(factor * limit)}${unit}`;
  if (low !== undefined && high !== undefined) return `${shown(low)} … ${shown(high)}${unit}`;
  if (high !== undefined) return `above ${shown(high)}${unit}`;
  return low === undefined ? GAP : `below ${shown(low)}${unit}`;
}

const limitTable = ({ limits }: Controller): string =>
  [
    'Limits, last and in this order; which one acts is recorded',
    table(
      [
        left('joint'),
        { head: 'torque', unit: 'N·m' },
        { head: 'within', unit: '°' },
        { head: 'fades over', unit: '°' },
        { head: 'speed', unit: '°/s' },
        { head: 'winding', unit: '°C' },
        left('returns to the bus'),
        { head: 'changes by', unit: 'N·m/s' },
      ],
      Object.entries(limits).map(([joint, l]) => [
        joint,
        fixed(l.torque, 0),
        `${degrees(l.from)} … ${degrees(l.to)}`,
        degrees(l.margin),
        `${degrees(l.fadeSpeed)} … ${degrees(l.speed)}`,
        `${fixed(l.warm - 273.15, 0)} … ${fixed(l.hot - 273.15, 0)}`,
        l.returned === undefined
          ? 'without limit'
          : `${fixed(l.returned.power, 0)} W, none from ${fixed(l.returned.fadeBus, 0)} to ${fixed(l.returned.bus, 0)} V`,
        fixed(l.slew, 0),
      ]),
    ),
  ].join('\n');
