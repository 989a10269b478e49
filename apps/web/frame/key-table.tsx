import { Fragment } from 'react';

/** Every key that a page listens to, by where the focus is. */
const KEYS: readonly { readonly where: string; readonly keys: readonly (readonly [string, string])[] }[] = [
  {
    where: 'Everywhere',
    keys: [
      ['Ctrl Z', 'undo: ratios, gains, requirements'],
      ['Ctrl Shift Z, Ctrl Y', 'redo'],
      ['Tab', 'on to the next thing that can be moved'],
      ['?', 'these keys'],
    ],
  },
  {
    where: 'Hairline of a rule',
    keys: [
      ['← →', '1 % of the stride; with Shift, 10 %'],
      ['Page Up, Page Down', '10 %'],
      ['Home, End', 'contact, next contact; beginning, end'],
    ],
  },
  {
    where: 'Ratio slide',
    keys: [
      ['← →', '0.1; with Shift, or Page Up and Page Down, 1'],
      ['Home, End', 'least, largest'],
      ['Enter, Esc', 'take the ratio that is typed, or leave it'],
    ],
  },
  {
    where: 'Stiffness and damping',
    keys: [
      ['← →', 'a small step; with Shift a large one'],
      ['Enter, Esc', 'take the number that is typed, or leave it'],
    ],
  },
  {
    where: 'Thigh, swung by hand',
    keys: [
      ['← →', '1° back, forward; with Shift 5°'],
      ['Page Up, Page Down', '10°'],
      ['Home, End', 'as far as it goes'],
    ],
  },
  {
    where: 'Leg on its ground',
    keys: [
      ['← →', 'one tick of the controller; with Shift ten'],
      ['Page Up, Page Down', 'a tenth of the stride'],
      ['Home, End', 'first, last tick'],
    ],
  },
  {
    where: 'Maps of faults and power cuts',
    keys: [
      ['← → ↑ ↓', 'from cell to cell; with Shift five along'],
      ['Home, End', 'first, last place of the stride'],
      ['Page Up, Page Down', 'first, last line'],
      ['Enter', 'walk it'],
    ],
  },
  {
    where: 'Lines of the ledger',
    keys: [
      ['↑ ↓', 'from line to line'],
      ['Page Up, Page Down', 'ten lines'],
      ['Home, End', 'first, last line'],
      ['Enter', 'open or close it; Tab then leads into it'],
    ],
  },
];

/** The map of keys, line by line. */
export default function KeyTable() {
  return (
    <table>
      <thead className="sr">
        <tr>
          <th scope="col">Key</th>
          <th scope="col">What it does</th>
        </tr>
      </thead>
      {KEYS.map(({ where, keys }) => (
        <tbody key={where}>
          <tr>
            <th scope="rowgroup" colSpan={2} className="where">
              {where}
            </th>
          </tr>
          {keys.map(([key, does]) => (
            <tr key={key}>
              <th scope="row">
                {key.split(', ').map((one, k) => (
                  <Fragment key={one}>
                    {k > 0 ? ', ' : ''}
                    <kbd>{one}</kbd>
                  </Fragment>
                ))}
              </th>
              <td className="word">{does}</td>
            </tr>
          ))}
        </tbody>
      ))}
    </table>
  );
}
