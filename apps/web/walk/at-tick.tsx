import {
  LOG,
  LOG_WIDTH,
  type StrideRange,
  shownMoment,
  type WalkCurves,
  type WalkRecord,
} from '@striderule/engine';
import { useEffect, useRef } from 'react';
import { sampleAt, writeText } from '../hairline.ts';
import { fixed, GAP } from '../show/number.ts';
import { degrees } from '../show/unit.ts';
import type { Playhead } from './playhead.ts';

interface AtTickProps {
  readonly record: WalkRecord;
  readonly range: StrideRange;
  readonly curves: WalkCurves;
  readonly ticks: number;
  readonly playhead: Playhead;
  /** What of the walk a tick lies in. */
  readonly partAt: (tick: number) => string;
}

const JOINTS = ['hip', 'knee', 'ankle'] as const;
const HEAD = { hip: 'thigh, hip', knee: 'knee', ankle: 'ankle' } as const;
const ROWS = [
  ['angle', '°'],
  ['reference', '°'],
  ['led to', '°'],
  ['torque', 'N·m'],
  ['commanded', 'N·m'],
  ['power', 'W'],
  ['current', 'A'],
] as const;
const ALONE = [
  ['ground, up', 'N'],
  ['ground, forward', 'N'],
  ['acts ahead of ankle', 'mm'],
  ['forefoot', 'mm'],
  ['along the socket', 'N'],
  ['guide', 'N'],
  ['phase told', '%'],
] as const;

/** What one tick of the controller found, all joints side by side. Cells are written in place as it is moved. */
export function AtTick({ record, range, curves, ticks, playhead, partAt }: AtTickProps) {
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
      const sample = sampleAt((100 * tick) / ticks, curves.up.length);
      const turned = (value: number | undefined): string => fixed(degrees(value ?? Number.NaN), 1);
      const values: Record<(typeof JOINTS)[number], readonly string[]> = {
        hip: [
          turned(y(LOG.thigh)),
          turned(y(LOG.ownThigh)),
          GAP,
          fixed(shownMoment(y(LOG.hipTorque)), 1),
          GAP,
          fixed(y(LOG.hipTorque) * y(LOG.thighRate), 0),
          GAP,
        ],
        knee: joint('knee'),
        ankle: joint('ankle'),
      };
      for (const name of JOINTS)
        for (const [k, [what]] of ROWS.entries()) put(`${what} ${name}`, values[name][k] ?? GAP);
      const alone = [
        fixed(y(LOG.up), 0),
        fixed(y(LOG.forward), 0),
        fixed(1e3 * y(LOG.pressure), 0),
        fixed(1e3 * y(LOG.forefoot), 0),
        fixed(-y(LOG.socketAlong), 0),
        fixed(y(LOG.guide), 0),
        fixed(100 * y(LOG.phase), 1),
      ];
      for (const [k, [what]] of ALONE.entries()) put(what, alone[k] ?? GAP);
      const { period, stretch } = record.log;
      const places = stretch
        ? [`${fixed(tick * period, 3)} s`]
        : [`${fixed(1e3 * tick * period, 0)} ms`, `${fixed((100 * tick) / ticks, 1)} %`];
      const part = partAt(tick);
      put('where', [`tick ${tick} of ${ticks}`, ...places, ...(part === '' ? [] : [part])].join(', '));

      function joint(name: 'knee' | 'ankle'): string[] {
        return [
          turned(y(LOG[name])),
          turned(curves[name].own[sample]),
          turned(y(LOG[`${name}Target`])),
          fixed(shownMoment(y(LOG[`${name}Torque`])), 1),
          fixed(shownMoment(y(LOG[`${name}Asked`])), 1),
          fixed(y(LOG[`${name}Torque`]) * y(LOG[`${name}Rate`]), 0),
          fixed(shownMoment(y(LOG[`${name}Current`])), 1),
        ];
      }
    });
  }, [record, range, curves, ticks, playhead, partAt]);
  return (
    <table ref={table} className="at">
      <caption>
        At this tick, <span className="where" data-cell="where" />
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
  );
}
