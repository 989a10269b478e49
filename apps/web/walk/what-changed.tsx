import type { WalkReport } from '@striderule/engine';
import { fixed } from '../show/number.ts';
import { askedApart, STRIDE_FIGURES } from './walk-figures.ts';

interface WhatChangedProps {
  readonly before: { readonly leg: string; readonly report: WalkReport } | undefined;
  /** Whether that is the walk before, or one that is kept. */
  readonly what: 'before' | 'kept';
  readonly now: { readonly leg: string; readonly report: WalkReport };
}

/** What another leg, speed or way of walking changed against the walk before. */
export function WhatChanged({ before, what, now }: WhatChangedProps) {
  const apart = before === undefined ? '' : askedApart(before, now);
  if (before === undefined || apart === '')
    return (
      <p className="note changed">
        Walk another leg, or at another speed, and what it changed against this walk stands here.
      </p>
    );
  const [a, b] = [before.report.steady, now.report.steady];
  return (
    <div className="changed">
      <p className="strong" role="status">
        {a === undefined || b === undefined
          ? `${apart}: no steady strides to set side by side.`
          : `${apart}: the hip gives ${fixed(a.hipPositiveWork, 1)} → ${fixed(b.hipPositiveWork, 1)} J a stride, push-off ${fixed(a.pushOff, 1)} → ${fixed(b.pushOff, 1)} J.`}
      </p>
      {a !== undefined && b !== undefined && (
        <table className="at">
          <caption>{what === 'kept' ? 'Against the walk that is kept' : 'What changed'}</caption>
          <thead>
            <tr>
              <th scope="col">
                <span className="sr">Figure</span>
              </th>
              <th scope="col">{what}</th>
              <th scope="col">now</th>
              <th scope="col">by</th>
            </tr>
          </thead>
          <tbody>
            {STRIDE_FIGURES.filter(({ told }) => told).map(({ name, unit, mean, decimals }) => {
              const by = mean(b) - mean(a);
              return (
                <tr key={name}>
                  <th scope="row">
                    {name} <span className="quiet">{unit}</span>
                  </th>
                  <td>{fixed(mean(a), decimals)}</td>
                  <td>{fixed(mean(b), decimals)}</td>
                  <td>
                    {by > 0 ? '+' : ''}
                    {fixed(by, decimals)}
                  </td>
                </tr>
              );
            })}
          </tbody>
        </table>
      )}
    </div>
  );
}
