import { fixed, GAP } from '../show/number.ts';
import { axisOf, partAt, placeText, shownSamples } from './along.ts';
import { columnsOf } from './curve-rows.ts';
import type { RuleModel } from './scale.ts';

export function CurveTable({ model }: { readonly model: RuleModel }) {
  const columns = columnsOf(model);
  const samples = columns[0]?.series.values.length ?? 0;
  const { name, unit } = axisOf(model);
  const parted = 'parts' in model && model.parts.length > 0;
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reachable by keyboard
    <section className="scroll" tabIndex={0} aria-label="Curves as a table">
      <table>
        <caption>
          {model.title}, {unit === '%' ? 'every five per cent of the stride' : 'time after time'}
        </caption>
        <thead>
          <tr>
            <th scope="col">
              {name}, {unit}
            </th>
            {parted ? (
              <th scope="col" className="word">
                Part
              </th>
            ) : null}
            {columns.map(({ head, series, scale }) => (
              <th scope="col" key={`${scale.key} ${series.key}`}>
                {head}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {shownSamples(model, samples).map((i) => (
            <tr key={i}>
              <th scope="row">{placeText(model, (100 * i) / (samples - 1)).replace(` ${unit}`, '')}</th>
              {parted ? <td className="word">{partAt(model, (100 * i) / (samples - 1))}</td> : null}
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
