import { type DrivenJoint, type StudyInput, type StudyResult, scheduleRatio } from '@striderule/engine';
import { significant } from '../show/number.ts';

interface RatioFactsProps {
  readonly input: StudyInput;
  readonly result: StudyResult;
  readonly joint: DrivenJoint;
}

/** What the day's strides alone say of the ratio: facts beside the slide, never the choice. */
export function RatioFacts({ input, result, joint }: RatioFactsProps) {
  const fact = scheduleRatio(input, result, joint);
  if (fact === undefined) return null;
  const { optimum, admissible } = fact;
  const within =
    admissible === undefined
      ? 'what the motor may hold for ever is not in its data, so no range of ratios can be told from it'
      : admissible === null
        ? 'no ratio keeps it within what the motor may hold for ever'
        : `it stays within what the motor may hold for ever from ${significant(admissible.least)} : 1 to ${significant(admissible.largest)} : 1`;
  return (
    <p className="note facts">
      What the day’s strides say, friction left out: rms motor torque is least at {significant(optimum)} : 1,
      a fact and not the choice for a joint that must be moved by hand; {within}. Peaks, speed and heat stand
      in the list.
    </p>
  );
}
