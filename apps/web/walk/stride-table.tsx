import type { WalkReport } from '@striderule/engine';
import { Section } from '../sections/section.tsx';
import { TableActs } from '../sections/table-acts.tsx';
import type { Cell } from '../show/csv.ts';
import { fixed, significant } from '../show/number.ts';
import { degrees } from '../show/unit.ts';
import { STRIDE_FIGURES } from './walk-figures.ts';
import type { Walked } from './walk-store.ts';

interface StrideTableProps {
  readonly report: WalkReport;
  readonly fileName: string;
  /** From 1. */
  readonly chosen: number;
  /** No stride but one stretch. */
  readonly whole: boolean;
  readonly kept: Walked | undefined;
}

const HEAD = ['stride', ...STRIDE_FIGURES.map(({ name, unit }) => `${name}, ${unit}`), 'faults'];

const plain = (value: number): number | null =>
  Number.isFinite(value) ? Number(value.toPrecision(6)) : null;

/** Figures of a kept walk: the mean of its steady strides, or where it has none that stride of it. */
function keptRow({ ask, report, record }: Walked, chosen: number) {
  const { steady, strides } = report;
  const n = Math.min(chosen, strides.length);
  const stride = strides[n - 1];
  const whose = steady !== undefined ? 'mean' : record.log.stretch ? 'all of it' : `stride ${n}`;
  return {
    name: `kept, ${ask.input.leg.name}, ${fixed(report.speed, 2)} m/s, ${whose}`,
    values: STRIDE_FIGURES.map(({ of, mean }) =>
      steady !== undefined ? mean(steady) : stride === undefined ? Number.NaN : of(stride),
    ),
    faults: steady === undefined ? (stride?.faults ?? null) : null,
  };
}

/** What the walk reports, stride by stride, and the mean of the steady ones. */
export function StrideTable({ report, fileName, chosen, whole, kept }: StrideTableProps) {
  const { strides, steady, audit } = report;
  const rows = (text: (value: number, decimals: number) => Cell): Cell[][] =>
    strides.map((stride, k) => [
      whole ? 'all of it' : k + 1,
      ...STRIDE_FIGURES.map(({ of, decimals }) => text(of(stride), decimals)),
      stride.faults,
    ]);
  const ghost = kept && keptRow(kept, chosen);
  const pushed = strides[chosen - 1]?.pushOff;
  return (
    <Section
      title="What the walk reports"
      acts={
        <TableActs
          what="strides"
          fileName={`${fileName}-strides.csv`}
          rows={() => [
            HEAD,
            ...rows(plain),
            ...(ghost === undefined ? [] : [[ghost.name, ...ghost.values.map(plain), ghost.faults]]),
          ]}
        />
      }
    >
      <p className="audit">
        Energy audit, at every step: {significant(audit.residual, 2)} J missed at worst of{' '}
        {fixed(audit.moved, 0)} J moved, {significant(100 * audit.share, 2)} %; refused from{' '}
        {significant(100 * audit.limit, 2)} %. Same study in this browser, same bytes: {report.fingerprint}.
      </p>
      {pushed !== undefined && steady !== undefined && (
        <p>
          Push-off of stride {chosen}: {fixed(pushed.work, 1)} J of the {fixed(steady.scheduledPushOff, 1)} J
          that the schedule would give on the stride itself. Stance ended at {fixed(100 * pushed.phase, 0)} %
          of its phase{pushed.early ? ', early' : ''}, the thigh at {fixed(degrees(pushed.thigh), 0)}°,{' '}
          {fixed(pushed.load, 0)} N along the shank; early in {steady.earlyExits} of {steady.count} steady
          strides.
        </p>
      )}
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reachable by keyboard */}
      <section className="scroll" tabIndex={0} aria-label="Strides of the walk">
        <table className="strides-table">
          <thead>
            <tr>
              <th scope="col">Stride</th>
              {STRIDE_FIGURES.map(({ name, unit }) => (
                <th scope="col" key={name}>
                  {name} <span className="quiet">{unit}</span>
                </th>
              ))}
              <th scope="col">faults</th>
            </tr>
          </thead>
          <tbody>
            {steady !== undefined && (
              <tr className="mean">
                <th scope="row">mean from the 3rd</th>
                {STRIDE_FIGURES.map(({ name, mean, decimals }) => (
                  <td key={name}>{fixed(mean(steady), decimals)}</td>
                ))}
                <td />
              </tr>
            )}
            {ghost !== undefined && (
              <tr className="kept">
                <th scope="row">{ghost.name}</th>
                {ghost.values.map((value, k) => (
                  <td key={HEAD[k + 1]}>{fixed(value, STRIDE_FIGURES[k]!.decimals)}</td>
                ))}
                <td>{ghost.faults}</td>
              </tr>
            )}
            {rows(fixed).map(([stride, ...cells]) => (
              <tr key={String(stride)} data-on={(!whole && stride === chosen) || undefined}>
                <th scope="row">{stride}</th>
                {cells.map((cell, k) => (
                  <td key={HEAD[k + 1]}>{cell}</td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </section>
      <p className="note">
        off: from the stride that is walked, at the same instant. Guide at the hip: what keeps the height of
        the hip, which no hand does on the street; it works out of nothing and into nothing, and that is told
        here. Flanks meet: torque that the speed of the hardest meeting of two flanks in the gears can add to
        their load.
      </p>
    </Section>
  );
}
