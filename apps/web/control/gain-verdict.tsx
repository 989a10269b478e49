import type { AskedImpedance, DrivenJoint, Gains, Load } from '@striderule/engine';
import { significant, written } from '../show/number.ts';

interface GainVerdictProps {
  readonly joint: DrivenJoint;
  readonly now: Gains;
  readonly asked: AskedImpedance | { readonly openBecause: string };
  readonly limit: number;
}

const loadText = (joint: DrivenJoint, load: Load): string =>
  load === 'held' ? 'output held' : `with ${joint === 'knee' ? 'shank and foot' : 'the foot'}`;

/** What comes of the gains where the cross stands. */
export function GainVerdict({ joint, now, asked, limit }: GainVerdictProps) {
  if ('openBecause' in asked)
    return (
      <p className="strong" role="status">
        Not rendered: {asked.openBecause}.
      </p>
    );
  const { passivity, slow, stability, software, joint: sampled } = asked;
  const unstable = !stability.every(({ largest }) => largest < 1);
  const rows: readonly (readonly [string, string, string])[] = [
    ['asked', `${written(now.stiffness)}, ${written(now.damping)}`, 'N·m/rad, N·m·s/rad'],
    [
      'software holds',
      `${significant(software.stiffness)}, ${significant(software.damping)}`,
      'N·m/rad, N·m·s/rad',
    ],
    ['stable at this damping to', significant(limit), 'N·m/rad'],
    ...stability.map(
      ({ load, largest }) =>
        [
          `a push, ${loadText(joint, load)}`,
          largest < 1
            ? `a third after ${significant((-1e3 * sampled.period) / Math.log(largest))}`
            : `grows ${significant(100 * (largest - 1))} %`,
          largest < 1 ? 'ms' : 'a period',
        ] as const,
    ),
    ['damping of its own', significant(passivity.own), 'N·m·s/rad'],
    ['passive needs', significant(passivity.needed.damping), 'N·m·s/rad'],
    ['slow motion meets', `${significant(slow.damping)}, ${significant(slow.inertia)}`, 'N·m·s/rad, kg·m²'],
    [
      'stiffness within ±10 % to',
      asked.stiffnessBandwidth === 0 ? 'nowhere' : significant(asked.stiffnessBandwidth),
      'Hz',
    ],
    [
      'stiffness and damping to',
      asked.impedanceBandwidth === 0 ? 'nowhere' : significant(asked.impedanceBandwidth),
      'Hz',
    ],
  ];
  return (
    <div className="gain-said">
      <p className="strong" role="status">
        {unstable
          ? 'Unstable: the sampled loop grows by itself. Do not try it on anything that can hurt or break.'
          : passivity.passive
            ? 'Stable, and passive against whatever it touches.'
            : 'Stable, not passive: what it touches may make it ring.'}
      </p>
      <table>
        <tbody>
          {rows.map(([what, value, unit]) => (
            <tr key={what}>
              <th scope="row">{what}</th>
              <td>{value}</td>
              <td className="word quiet">{unit}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <p className="caution">
        Limits leave no margin, and dry friction hides a loop that is not stable. Gains for a real leg begin
        low, tethered, with an emergency stop, and are raised on the bench; then overhead harness, ethics
        board, licensed prosthetist, and the standards and local codes that apply.
      </p>
    </div>
  );
}
