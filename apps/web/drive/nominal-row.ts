import {
  type DesignResult,
  type DrivenJoint,
  type LedgerRow,
  metricCatalogue,
  type StudyInput,
} from '@striderule/engine';

/**
 * A line with the value of another design and no interval, cheap enough for every frame. Outside its bound it is not met, whatever the
 * interval would be; inside it is `met` as far as the value alone goes, which the reader of it must not take for the verdict.
 */
export function nominalRow(
  row: LedgerRow,
  input: StudyInput,
  design: DesignResult,
  joint: DrivenJoint,
): LedgerRow {
  const { metric, task, bound } = row.requirement;
  const got = metricCatalogue[metric]?.value(input, design, joint, task);
  const predicted = got !== undefined && 'value' in got && !Number.isNaN(got.value) ? got.value : null;
  const outside =
    predicted !== null && (bound.kind === 'at most' ? predicted > bound.value : predicted < bound.value);
  return {
    ...row,
    predicted,
    interval: null,
    margin: null,
    state: predicted === null ? 'open' : outside ? 'not met' : 'met',
  };
}
