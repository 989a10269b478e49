import { type DrivenJoint, driveTerms, type StrideDemand, type StudyInput } from '@striderule/engine';
import { useEffect, useRef } from 'react';
import { whileSeen } from '../draw/while-seen.ts';
import { type Hairline, sampleAt, writeText } from '../hairline.ts';
import { fixed, significant } from '../show/number.ts';

interface HowProps {
  readonly input: StudyInput;
  readonly demand: StrideDemand;
  readonly joint: DrivenJoint;
  readonly hairline: Hairline;
}

/** A number inside a formula: in brackets where it is negative. */
const term = (value: number, decimals: number): string =>
  value < 0 ? `(${fixed(value, decimals)})` : fixed(value, decimals);

/** The numbers of one instant in engine signs, as the formulas stand in the chapters. */
function numbersAt(
  input: StudyInput,
  demand: StrideDemand,
  joint: DrivenJoint,
  i: number,
): Record<string, string> {
  const own = demand.joints[joint];
  const drive = input.leg.joints[joint];
  if (own === undefined || Number.isNaN(own.moment[i])) return {};
  const at = (values: Float64Array) => values[i] ?? Number.NaN;
  const weight = at(demand.stanceWeight);
  const device = at(own.deviceMoment);
  const moment = Number.isNaN(device)
    ? `${fixed(at(own.humanMoment), 2)} (no thigh angle: the human moment is kept) =`
    : `${fixed(weight, 2)} × ${term(at(own.humanMoment), 2)} + ${fixed(1 - weight, 2)} × ${term(device, 2)} =`;
  const power = `${fixed(at(own.moment), 2)} × ${term(at(own.velocity), 3)} =`;
  const out = {
    moment,
    momentIs: `${fixed(at(own.moment), 2)} N·m`,
    power,
    powerIs: `${fixed(at(own.power), 1)} W`,
  };
  if (drive === undefined) return out;
  const terms = driveTerms(drive, {
    angle: at(own.angle),
    velocity: at(own.velocity),
    acceleration: at(own.acceleration),
    moment: at(own.moment),
  });
  const { transmission: t, motor } = drive;
  const mesh = terms.backDriven
    ? `${term(terms.gear, 2)} × ${significant(t.backDrivenEfficiency)}/${significant(t.ratio)}`
    : `${term(terms.gear, 2)}/(${significant(t.ratio)} × ${significant(t.drivingEfficiency)})`;
  return {
    ...out,
    motor: `${significant(t.ratio)} × ${significant(motor.rotorInertia + t.inputInertia)} × ${term(at(own.acceleration), 1)} + ${term(terms.drag, 3)} + ${mesh} =`,
    motorIs: `${fixed(terms.motorTorque, 3)} N·m`,
    motorWhy: terms.backDriven
      ? 'the joint drives the mesh: what the gears carry is against the motion'
      : 'the motor drives the mesh: what the gears carry is along the motion',
    current: `${fixed(terms.motorTorque, 3)} N·m through the saturation curve of ${motor.name} =`,
    currentIs: Number.isNaN(terms.current)
      ? 'none: beyond saturation'
      : `${fixed(terms.current, 1)} A peak phase`,
  };
}

/** Formulas with the numbers of the hairline in them. */
export function How({ input, demand, joint, hairline }: HowProps) {
  const host = useRef<HTMLDivElement>(null);
  useEffect(() => {
    const element = host.current;
    if (element === null) return;
    const spots = [...element.querySelectorAll<HTMLElement>('[data-is]')];
    return whileSeen(element, hairline.follow, (percent) => {
      const numbers = numbersAt(input, demand, joint, sampleAt(percent));
      for (const spot of spots) writeText(spot, numbers[spot.dataset.is ?? ''] ?? 'not known here');
    });
  }, [input, demand, joint, hairline]);
  return (
    <div className="how" ref={host}>
      <h3>{joint}</h3>
      <p>
        <i>τ</i> = <i>w</i>·<i>τ</i>
        <sub>human</sub> + (1 − <i>w</i>)·<i>τ</i>
        <sub>this leg</sub> = <span className="n" data-is="moment" /> <b className="n" data-is="momentIs" />
      </p>
      <p>
        <i>P</i> = <i>τ</i>·<i>θ̇</i> = <span className="n" data-is="power" />{' '}
        <b className="n" data-is="powerIs" />
      </p>
      <p>
        <i>τ</i>
        <sub>m</sub> = <i>N</i>(<i>J</i>
        <sub>m</sub> + <i>J</i>
        <sub>in</sub>)·<i>θ̈</i> + drag + <i>τ</i>
        <sub>g</sub>/(<i>N·η</i>
        <sub>f</sub>) or <i>τ</i>
        <sub>g</sub>·<i>η</i>
        <sub>b</sub>/<i>N</i> = <span className="n" data-is="motor" /> <b className="n" data-is="motorIs" />{' '}
        <span className="quiet n" data-is="motorWhy" />
      </p>
      <p>
        <i>i</i> = (<i>τ</i>
        <sub>m</sub>/<i>K</i>
        <sub>t</sub>)/√(1 − (<i>τ</i>
        <sub>m</sub>/(<i>K</i>
        <sub>t</sub>·<i>I</i>
        <sub>s</sub>))²) = <span className="n" data-is="current" /> <b className="n" data-is="currentIs" />
      </p>
    </div>
  );
}
