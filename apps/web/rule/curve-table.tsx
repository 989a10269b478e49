import type { Cell } from '../show/csv.ts';
import { fixed, GAP } from '../show/number.ts';
import type { RuleModel, Scale, Series } from './scale.ts';

const columnsOf = (model: RuleModel): { scale: Scale; series: Series; head: string }[] =>
  model.scales.flatMap((scale) =>
    scale.series.map((series) => {
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
  const rows: Cell[][] = [['stride, %', ...columns.map(({ head }) => head)]];
  for (let i = 0; i < samples; i += step)
    rows.push([
      i / 2,
      ...columns.map(({ series, scale }) => {
        const value = series.values[i] ?? Number.NaN;
        return Number.isNaN(value) ? null : Number(value.toFixed(scale.decimals + 2));
      }),
    ]);
  return rows;
}

export function CurveTable({ model }: { readonly model: RuleModel }) {
  const columns = columnsOf(model);
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reachable by keyboard
    <section className="scroll" tabIndex={0} aria-label="Curves as a table">
      <table>
        <caption>{model.title}, every five per cent of the stride</caption>
        <thead>
          <tr>
            <th scope="col">Stride, %</th>
            {columns.map(({ head, series, scale }) => (
              <th scope="col" key={`${scale.key} ${series.key}`}>
                {head}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {Array.from({ length: 21 }, (_, k) => 10 * k).map((i) => (
            <tr key={i}>
              <th scope="row">{i / 2}</th>
              {columns.map(({ series, scale }) => (
                <td key={`${scale.key} ${series.key}`}>
                  {Number.isNaN(series.values[i]) ? GAP : fixed(series.values[i], scale.decimals)}
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
