import type { WalkCheck } from '@striderule/engine';
import { Section } from '../sections/section.tsx';
import { TableActs } from '../sections/table-acts.tsx';
import { fixed } from '../show/number.ts';

interface OutsideChecksProps {
  readonly checks: readonly WalkCheck[];
  readonly fileName: string;
}

const words = ({ holds }: WalkCheck): string => (holds ? 'holds' : 'does not hold');

/** Where a value lies between the two ends, drawn over the band from end to end in the middle half. */
function Between({ value, low, high }: WalkCheck) {
  const at = (v: number) => 33 + (66 * (v - low)) / (high - low);
  const x = Math.min(130, Math.max(2, at(value)));
  return (
    <svg width="132" height="18" aria-hidden="true">
      <path className="edge crisp" d="M0 9.5H132" opacity="0.4" />
      <path className="edge crisp" d="M33.5 3V16M99.5 3V16" />
      <rect
        className={value >= low && value <= high ? 'room' : 'lack'}
        x={x - 3}
        y="6"
        width="6"
        height="7"
      />
    </svg>
  );
}

/** Figures of the walk beside published ones and our own lines. */
export function OutsideChecks({ checks, fileName }: OutsideChecksProps) {
  if (checks.length === 0)
    return (
      <Section title="Set against outside">
        <p className="empty">Nothing to set against: no steady stride was walked.</p>
      </Section>
    );
  const rows = checks.map((check) => [
    check.what,
    check.unit,
    fixed(check.value, 2),
    fixed(check.low, 2),
    fixed(check.high, 2),
    words(check),
    check.source,
  ]);
  return (
    <Section
      title="Set against outside"
      acts={
        <TableActs
          what="checks"
          fileName={`${fileName}-checks.csv`}
          rows={() => [['what', 'unit', 'walked', 'from', 'to', 'holds', 'source'], ...rows]}
        />
      }
    >
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reachable by keyboard */}
      <section className="scroll" tabIndex={0} aria-label="Figures and their lines">
        <table className="checks">
          <thead>
            <tr>
              <th scope="col">Mean of the steady strides</th>
              <th scope="col">walked</th>
              <th scope="col">from</th>
              <th scope="col">to</th>
              <th scope="col">
                <span className="sr">Where it lies</span>
              </th>
              <th scope="col" className="word">
                state
              </th>
              <th scope="col" className="word">
                source
              </th>
            </tr>
          </thead>
          <tbody>
            {checks.map((check, k) => (
              <tr key={check.what}>
                <th scope="row">
                  {check.what} <span className="quiet">{check.unit}</span>
                </th>
                {rows[k]!.slice(2, 5).map((cell, n) => (
                  <td key={['walked', 'from', 'to'][n]}>{cell}</td>
                ))}
                <td>
                  <Between {...check} />
                </td>
                <td className={`word${check.holds ? '' : ' strong'}`}>{words(check)}</td>
                <td className="word source-cell quiet">{check.source}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
    </Section>
  );
}
