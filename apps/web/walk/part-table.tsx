import { useCallback } from 'react';
import { toElement } from '../draw/mark.ts';
import { placeText } from '../rule/along.ts';
import { groundOf } from '../rule/draw-rule.ts';
import type { Parted, PartLook } from '../rule/scale.ts';
import { TableActs } from '../sections/table-acts.tsx';
import { fixed } from '../show/number.ts';

interface PartTableProps {
  readonly along: Parted;
  /** s of all of it. */
  readonly duration: number;
  /** What a part is called. */
  readonly what: string;
  readonly fileName: string;
}

/** What lies along the axis of the rule, by its numbers there, each beside its ground. */
export function PartTable({ along, duration, what, fileName }: PartTableProps) {
  const { parts } = along;
  const rows = parts.map(({ name, from, to }) => [
    name,
    fixed(duration * from, 2),
    fixed(duration * to, 2),
    fixed(duration * (to - from), 2),
  ]);
  const heads = ['from', 'to', 'lasts'];
  return (
    <>
      <table className="parts">
        <caption>Along the rule, to {placeText(along, 100)}</caption>
        <thead>
          <tr>
            <th scope="col" className="word">
              {what}
            </th>
            {heads.map((head) => (
              <th scope="col" key={head}>
                {head} <span className="quiet">s</span>
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map(([name, ...times], k) => (
            <tr key={times[0]}>
              <th scope="row">
                <Swatch look={parts[k]!.look} /> {k + 1} {name}
              </th>
              {times.map((time, n) => (
                <td key={heads[n]}>{time}</td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
      <TableActs
        what={`${what}s`}
        fileName={`${fileName}-${what}s.csv`}
        rows={() => [
          ['number', what, ...heads.map((head) => `${head}, s`)],
          ...rows.map((row, k) => [k + 1, ...row]),
        ]}
      />
    </>
  );
}

const SWATCH = { x: 0, y: 0, width: 30, height: 14 };

function Swatch({ look }: { readonly look: PartLook }) {
  const { tint, weave } = look;
  const draw = useCallback(
    (svg: SVGSVGElement | null) => svg?.replaceChildren(...groundOf({ tint, weave }, SWATCH).map(toElement)),
    [tint, weave],
  );
  return <svg className="swatch" ref={draw} width={SWATCH.width} height={SWATCH.height} aria-hidden="true" />;
}
