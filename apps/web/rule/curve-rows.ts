import type { Cell } from '../show/csv.ts';
import { axisOf, partAt, valueAt } from './along.ts';
import type { RuleModel, Scale, Series } from './scale.ts';

/** Every curve of the rule but the crowd, with the head it has in a table. */
export const columnsOf = (model: RuleModel): { scale: Scale; series: Series; head: string }[] =>
  model.scales.flatMap((scale) =>
    scale.series
      .filter(({ weight }) => weight !== 'crowd')
      .map((series) => {
        const task =
          series.letter === undefined ? '' : `, ${model.laid.find((l) => l.letter === series.letter)?.title}`;
        const label = series.letter === undefined && series.label !== '' ? `, ${series.label}` : '';
        return { scale, series, head: `${scale.name}${label}${task}, ${scale.unit} (${scale.note})` };
      }),
  );

/** Head and one row for every `step`-th sample, in the units and signs of the screen. */
export function curveRows(model: RuleModel, step: number): Cell[][] {
  const columns = columnsOf(model);
  const samples = columns[0]?.series.values.length ?? 0;
  const { name, unit } = axisOf(model);
  const parted = 'parts' in model && model.parts.length > 0;
  const rows: Cell[][] = [
    [`${name.toLowerCase()}, ${unit}`, ...(parted ? ['part'] : []), ...columns.map(({ head }) => head)],
  ];
  for (let i = 0; i < samples; i += step) {
    const percent = (100 * i) / (samples - 1);
    rows.push([
      Number(valueAt(model, percent).toFixed(4)),
      ...(parted ? [partAt(model, percent)] : []),
      ...columns.map(({ series, scale }) => {
        const value = series.values[i] ?? Number.NaN;
        return Number.isNaN(value) ? null : Number(value.toFixed(scale.decimals + 2));
      }),
    ]);
  }
  return rows;
}
