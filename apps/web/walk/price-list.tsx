import { PRICE_NOTES, type StudyInput, type WalkPrice, walkLevers, withPrices } from '@striderule/engine';
import type { WorkDesign } from '@striderule/wire';
import { useCallback, useMemo } from 'react';
import type { LongAsk } from '../design/long-work.ts';
import { useLong } from '../design/use-long.ts';
import { Instrument } from '../draw/instrument.tsx';
import { Section } from '../sections/section.tsx';
import { TableActs } from '../sections/table-acts.tsx';
import { fixed, written } from '../show/number.ts';
import { drawPrice, priceHeight } from './draw-price.ts';
import { LongActs } from './long-acts.tsx';
import type { WalkPlace } from './walk-place.ts';

interface PriceListProps {
  readonly input: StudyInput;
  readonly design: WorkDesign;
  readonly walk: WalkPlace;
}

/** Strides of each of its walks; the last half is counted. Our choice, as of the command. */
const STRIDES = 8;

/** What everything costs the wearer's hip, the dearest first, and the bench test that would narrow it most. */
export function PriceList({ input, design, walk }: PriceListProps) {
  const { speed, ground, step } = walk;
  const ask = useMemo(
    (): LongAsk<'price'> => ({
      design,
      ask: { kind: 'price', choice: { speed, ground }, step, strides: STRIDES },
    }),
    [design, speed, ground, step],
  );
  const levers = useMemo(() => walkLevers(input).length, [input]);
  const work = useLong(ask);
  const { parts } = work;
  const price = useMemo(() => {
    const [first] = parts;
    return (
      first &&
      withPrices(
        first.planned,
        parts.map(({ priced }) => priced),
      )
    );
  }, [parts]);
  const draw = useCallback((width: number) => drawPrice(width, price), [price]);
  const title = 'The price of everything at the hip';
  const fileName = `hip-prices-${input.leg.name.toLowerCase()}-${written(speed)}`;
  return (
    <Section title={title}>
      <p className="note">
        {levers} numbers of the leg and its software, each moved both ways by a small and a large step, with
        the thigh prescribed and led: some {8 * levers} walks of {STRIDES} strides at {fixed(speed, 2)} m/s,
        up to a minute on the server. At unchanged thigh motion; length of the stride: not predicted.
      </p>
      <LongActs work={work} start="Price everything" what="Pricing" demo={input.demo} />
      {price !== undefined || work.going !== undefined ? (
        <>
          <Instrument
            title={`${title}, ${input.leg.name}, ${fixed(speed, 2)} m/s`}
            what="the prices"
            fileName={fileName}
            heightFor={(width) => priceHeight(width, levers)}
            draw={draw}
          />
          <Tests tests={price?.tests ?? []} fileName={fileName} />
          <ul className="notes">
            {price !== undefined && (
              <li>
                Of {price.strides} strides the last {price.counted} are counted; their hip work differs by{' '}
                {fixed(1e3 * price.ends.prescribed.uneven, 0)} mJ with the thigh prescribed and{' '}
                {fixed(1e3 * price.ends.led.uneven, 0)} mJ with the thigh led. {price.walks} walks so far; the
                energy missed at most {fixed(100 * price.audit, 2)} % of the work moved.
              </li>
            )}
            {PRICE_NOTES.map((note) => (
              <li key={note}>{note}</li>
            ))}
          </ul>
        </>
      ) : null}
    </Section>
  );
}

const HEAD = ['bench test', 'prescribed, %', 'led, %'];

/** What each bench test would take off the variance of hip work. */
function Tests({ tests, fileName }: { readonly tests: WalkPrice['tests']; readonly fileName: string }) {
  if (tests.length === 0)
    return <p className="empty">No bench test narrows it yet: nothing that can be measured has a price.</p>;
  const rows = tests.map(({ test, prescribed, led }) => [
    test,
    fixed(100 * prescribed, 0),
    fixed(100 * led, 0),
  ]);
  return (
    <>
      <div className="cap">
        <h3>What to measure first: share of the variance of hip work that a bench test would take away</h3>
        <TableActs what="bench tests" fileName={`${fileName}-tests.csv`} rows={() => [HEAD, ...rows]} />
      </div>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reachable by keyboard */}
      <section className="scroll" tabIndex={0} aria-label="Bench tests">
        <table className="bench-tests">
          <thead>
            <tr>
              {HEAD.map((head) => (
                <th scope="col" key={head}>
                  {head}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {rows.map(([test, ...shares]) => (
              <tr key={test}>
                <th scope="row">{test}</th>
                {shares.map((share, k) => (
                  <td key={HEAD[k + 1]}>{share}</td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </section>
    </>
  );
}
