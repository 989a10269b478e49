import type { Cell } from '../show/csv.ts';
import { fixed } from '../show/number.ts';
import { STRIP_HEAD } from './strip-rows.ts';

/** The strip in numbers, each half second. */
export function StripTable({ rows, title }: { readonly rows: readonly Cell[][]; readonly title: string }) {
  const [head = [], ...body] = rows;
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reachable by keyboard
    <section className="scroll" tabIndex={0} aria-label="The last seconds as a table">
      <table>
        <caption>{title}, each half second</caption>
        <thead>
          <tr>
            {head.map((cell) => (
              <th scope="col" key={String(cell)}>
                {cell}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {body.map(([time, ...cells]) => (
            <tr key={String(time)}>
              <th scope="row">{fixed(time as number, 1)}</th>
              {cells.map((cell, k) => (
                <td key={STRIP_HEAD[k + 1]}>{fixed(cell as number, 1)}</td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
