import type { WalkReport } from '@striderule/engine';
import { Section } from '../sections/section.tsx';
import { TableActs } from '../sections/table-acts.tsx';
import { fixed, GAP } from '../show/number.ts';

interface HipBracketProps {
  readonly leg: string;
  readonly fileName: string;
  /** The walk, and the same with the thigh moved the other way; undefined while it is on its way. */
  readonly report: WalkReport;
  readonly other: WalkReport | undefined;
  /** Why there is no other. */
  readonly refused: string | undefined;
}

const HEADS = [
  ['gives', 'J a stride'],
  ['takes', 'J a stride'],
  ['flexes with', 'N·m'],
  ['extends with', 'N·m'],
  ['pull-off', 'W'],
  ['stride length', 'm'],
] as const;

/** What the walk asks of the wearer's hip, between two ways in which a model can move a thigh. */
export function HipBracket({ leg, fileName, report, other, refused }: HipBracketProps) {
  const of = (thigh: WalkReport['thigh']) => [report, other].find((each) => each?.thigh === thigh);
  const rows = (['prescribed', 'led'] as const).map((thigh) => {
    const steady = of(thigh)?.steady;
    return [
      `thigh ${thigh}`,
      ...(steady === undefined
        ? [GAP, GAP, GAP, GAP, GAP]
        : [
            fixed(steady.hipPositiveWork, 1),
            fixed(steady.hipNegativeWork, 1),
            fixed(steady.hipFlexion, 0),
            fixed(-steady.hipExtension, 0),
            fixed(steady.pullOff, 0),
          ]),
      'not predicted',
    ];
  });
  return (
    <Section
      title={`What ${leg} asks of the wearer’s hip`}
      acts={
        <TableActs
          what="hip work"
          fileName={`${fileName}-hip.csv`}
          rows={() => [['walk', ...HEADS.map((head) => head.join(', '))], ...rows]}
        />
      }
    >
      <p className="note">
        At unchanged thigh motion. Prescribed: the thigh does what the stride does, whatever it takes, so the
        hip is as strong as it must be. Led: a spring and damper of the hip lead it there. The wearer’s own
        hip lies between them, as far as a model knows.
      </p>
      {refused !== undefined && <p className="empty">The other way was not walked: {refused}.</p>}
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reachable by keyboard */}
      <section className="scroll" tabIndex={0} aria-label="Work of the hip">
        <table className="bracket">
          <thead>
            <tr>
              <th scope="col">Hip, mean of the steady strides</th>
              {HEADS.map(([head, unit]) => (
                <th scope="col" key={head}>
                  {head} <span className="quiet">{unit}</span>
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {rows.map(([name, ...cells]) => (
              <tr key={name} data-on={name === `thigh ${report.thigh}` || undefined}>
                <th scope="row">{name}</th>
                {cells.map((cell, k) => (
                  <td key={HEADS[k]?.[0]}>{cell}</td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </section>
    </Section>
  );
}
