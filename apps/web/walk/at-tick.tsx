import {
  LOG,
  LOG_WIDTH,
  type StrideRange,
  shownMoment,
  type WalkInstant,
  type WalkRecord,
  walkInstant,
} from '@striderule/engine';
import { useEffect, useRef } from 'react';
import { writeText } from '../hairline.ts';
import { fixed, GAP } from '../show/number.ts';
import { degrees } from '../show/unit.ts';
import type { Playhead } from './playhead.ts';

interface AtTickProps {
  readonly record: WalkRecord;
  readonly range: StrideRange;
  readonly ticks: number;
  readonly playhead: Playhead;
  /** What of the walk a tick lies in. */
  readonly partAt: (tick: number) => string;
  /** Whether a controller runs. */
  readonly controlled: boolean;
}

/** States that the controller keeps, by the log's numbers. */
const STATES = ['stance', 'swing', 'safe'];
const JOINTS = ['hip', 'knee', 'ankle'] as const;
const HEAD = { hip: 'thigh, hip', knee: 'knee', ankle: 'ankle' } as const;
const ROWS = [
  ['angle', '°'],
  ['reference', '°'],
  ['swing target', '°'],
  ['torque', 'N·m'],
  ['commanded', 'N·m'],
  ['power', 'W'],
  ['current', 'A'],
] as const;
const ALONE = [
  ['ground force, up', 'N'],
  ['ground force, forward', 'N'],
  ['its centre, ahead of ankle', 'mm'],
  ['forefoot over ground', 'mm'],
  ['socket, along the thigh', 'N'],
  ['guide at the hip', 'N'],
  ['controller’s own state', ''],
] as const;

/** What one tick of the controller found, all joints side by side. Cells are written in place as it is moved. */
export function AtTick({ record, range, ticks, playhead, partAt, controlled }: AtTickProps) {
  const table = useRef<HTMLTableElement>(null);
  useEffect(() => {
    const host = table.current;
    if (host === null) return;
    const cells = new Map(
      [...host.querySelectorAll<HTMLElement>('[data-cell]')].map((cell) => [cell.dataset.cell ?? '', cell]),
    );
    const put = (key: string, text: string) => {
      const cell = cells.get(key);
      if (cell !== undefined) writeText(cell, text);
    };
    return playhead.follow((tick) => {
      const row = range.from + tick;
      const y = (place: number): number => record.log.table[row * LOG_WIDTH + place] ?? Number.NaN;
      const now = walkInstant(record, row);
      const turned = (value: number): string => fixed(degrees(value), 1);
      const values: Record<(typeof JOINTS)[number], readonly string[]> = {
        hip: [
          turned(now.thigh),
          turned(now.ownThigh),
          GAP,
          fixed(shownMoment(now.hipMoment), 1),
          GAP,
          fixed(now.hipMoment * y(LOG.thighRate), 0),
          GAP,
        ],
        knee: joint(now.knee),
        ankle: joint(now.ankle),
      };
      for (const name of JOINTS)
        for (const [k, [what]] of ROWS.entries()) put(`${what} ${name}`, values[name][k] ?? GAP);
      const alone = [
        fixed(now.up, 0),
        fixed(now.forward, 0),
        fixed(1e3 * y(LOG.pressure), 0),
        fixed(1e3 * now.forefoot, 0),
        fixed(-y(LOG.socketAlong), 0),
        fixed(y(LOG.guide), 0),
        controlled ? `${STATES[y(LOG.mode)] ?? GAP}, ${fixed(100 * y(LOG.phase), 1)} % through` : GAP,
      ];
      for (const [k, [what]] of ALONE.entries()) put(what, alone[k] ?? GAP);
      const { period, stretch } = record.log;
      const places = stretch
        ? [`${fixed(tick * period, 3)} s`]
        : [`${fixed(1e3 * tick * period, 0)} ms`, `${fixed((100 * tick) / ticks, 1)} %`];
      const part = partAt(tick);
      put('where', [...places, ...(part === '' ? [] : [part]), `tick ${tick} of ${ticks}`].join(', '));
    });
  }, [record, range, ticks, playhead, partAt, controlled]);
  const { period } = record.log;
  return (
    <>
      <table ref={table} className="at">
        <caption>
          At the hairline: <span className="where" data-cell="where" />
        </caption>
        <thead>
          <tr>
            <th scope="col">
              <span className="sr">Quantity</span>
            </th>
            {JOINTS.map((joint) => (
              <th scope="col" key={joint}>
                {HEAD[joint]}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {ROWS.map(([what, unit]) => (
            <tr key={what}>
              <th scope="row">
                {what} <span className="quiet">{unit}</span>
              </th>
              {JOINTS.map((joint) => (
                <td key={joint} data-cell={`${what} ${joint}`} />
              ))}
            </tr>
          ))}
          {ALONE.map(([what, unit]) => (
            <tr key={what}>
              <th scope="row">
                {what} <span className="quiet">{unit}</span>
              </th>
              <td colSpan={3} data-cell={what} />
            </tr>
          ))}
        </tbody>
      </table>
      <p className="note">
        Tick: one period of the controller, {fixed(1e3 * period, 0)} ms. Reference: the stride that is walked,
        at the same instant. Swing target: where the controller leads the joint; in stance nowhere. Guide: the
        spring that holds the hip’s height in this model, and nobody’s on the street. The controller goes from
        stance to swing by its own rules, before or after the foot leaves the ground: the phase of gait stands
        above.
      </p>
    </>
  );
}

const joint = (of: WalkInstant['knee']): string[] => [
  fixed(degrees(of.angle), 1),
  fixed(degrees(of.own), 1),
  fixed(degrees(of.target), 1),
  fixed(shownMoment(of.torque), 1),
  fixed(shownMoment(of.asked), 1),
  fixed(of.power, 0),
  fixed(shownMoment(of.current), 1),
];
