import { BACK_DRIVE_SPEED, type DesignResult, type DriveFigures, type DrivenJoint } from '@striderule/engine';
import { useEffect, useRef } from 'react';
import type { LiveRatio } from '../design/live-ratio.ts';
import { whileSeen } from '../draw/while-seen.ts';
import { writeText } from '../hairline.ts';
import { Section } from '../sections/section.tsx';
import { TableActs } from '../sections/table-acts.tsx';
import { fixed, significant } from '../show/number.ts';
import { degrees } from '../show/unit.ts';
import { Swing } from './swing.tsx';

interface BackDrivingProps {
  readonly joint: DrivenJoint;
  readonly live: LiveRatio;
  readonly saved: DesignResult;
}

interface Figure {
  readonly name: string;
  readonly unit: string;
  readonly of: (f: DriveFigures) => number | undefined;
}

const FIGURES: readonly Figure[] = [
  { name: 'Breakaway, unpowered', unit: 'N·m', of: (f) => f.breakaway },
  { name: `Back-drive at ${BACK_DRIVE_SPEED} rad/s`, unit: 'N·m', of: (f) => f.backDrive },
  { name: 'Reflected inertia', unit: 'kg·m²', of: (f) => f.reflectedInertia },
];
const SWING: readonly Figure[] = [
  { name: 'Dead angle', unit: '°', of: (f) => f.swing && degrees(f.swing.deadAngle) },
  { name: 'Half period of the free swing', unit: 's', of: (f) => f.swing?.halfPeriod },
];

const figuresOf = (joint: DrivenJoint): readonly Figure[] =>
  joint === 'knee' ? [...FIGURES, ...SWING] : FIGURES;

const figureAt = (figures: DriveFigures | undefined, { of }: Figure): number | null =>
  figures === undefined ? null : (of(figures) ?? null);

/** How hard the joint is to move when nobody powers it. */
export function BackDriving({ joint, live, saved }: BackDrivingProps) {
  const body = useRef<HTMLTableSectionElement>(null);
  useEffect(() => {
    if (body.current === null) return;
    const cells = body.current.querySelectorAll('[data-moves]');
    return whileSeen(body.current, live.follow, ({ design }) =>
      figuresOf(joint).forEach((each, k) => {
        writeText(cells[k]!, significant(figureAt(design.figures[joint], each)));
      }),
    );
  }, [live, joint]);
  const before = saved.figures[joint];
  const rows = () => {
    const { ratio, design } = live.at();
    return [
      ['unpowered', 'unit', `at ${fixed(ratio, 1)} : 1`, 'saved'],
      ...figuresOf(joint).map((each) => [
        each.name,
        each.unit,
        figureAt(design.figures[joint], each),
        figureAt(before, each),
      ]),
    ];
  };
  return (
    <Section
      title={`The unpowered ${joint}`}
      acts={<TableActs what="figures" fileName={`back-driving-${joint}.csv`} rows={rows} />}
    >
      <div className="unpowered">
        <div>
          <table>
            <thead>
              <tr>
                <th scope="col">
                  <span className="sr">Figure</span>
                </th>
                <th scope="col">now</th>
                <th scope="col">saved</th>
                <th scope="col" className="word">
                  <span className="sr">Unit</span>
                </th>
              </tr>
            </thead>
            <tbody ref={body}>
              {figuresOf(joint).map((each) => (
                <tr key={each.name}>
                  <th scope="row">{each.name}</th>
                  <td className="strong" data-moves />
                  <td className="quiet">{significant(figureAt(before, each))}</td>
                  <td className="word quiet">{each.unit}</td>
                </tr>
              ))}
            </tbody>
          </table>
          <p className="caution">
            A joint that gravity moves can collapse when power is cut in stance: treat easy back-driving as a
            hazard until the loss of power has been rehearsed, tethered, with an emergency stop and an
            overhead harness.
          </p>
        </div>
        {joint === 'knee' && <Swing live={live} saved={saved} />}
      </div>
    </Section>
  );
}
