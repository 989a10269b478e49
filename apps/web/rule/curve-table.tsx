import { fixed, GAP } from '../show/number.ts';
import { columnsOf } from './curve-rows.ts';
import type { RuleModel } from './scale.ts';

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
