import { landingVerdict } from '@striderule/engine';
import { useEffect, useMemo, useRef, useState } from 'react';
import { FieldFigure } from '../control/field-figure.tsx';
import type { Fields } from '../control/log-fields.ts';
import { Section } from '../sections/section.tsx';
import { TableActs } from '../sections/table-acts.tsx';
import { fixed, GAP, written } from '../show/number.ts';
import { legText } from '../show/ratio-text.ts';
import type { WalkAnswer, WalkAsk } from './answer-walk.ts';
import { askWalk } from './ask-walk.ts';
import { ankleRatio, type WalkingLegFile } from './use-legs.ts';
import { STRIDES } from './walk-length.ts';
import { THIGHS, type WalkPlace } from './walk-place.ts';

interface CompareLegsProps {
  readonly legs: readonly WalkingLegFile[];
  readonly walk: WalkPlace;
}

type End = Exclude<WalkAnswer, { readonly kind: 'stride' }>;
interface Row {
  readonly leg: WalkingLegFile;
  readonly ends: { readonly [thigh in (typeof THIGHS)[number]]?: End };
}

const HEADS = [
  ['knee ratio', ''],
  ['ankle ratio', ''],
  ['hip gives, prescribed', 'J'],
  ['hip gives, led', 'J'],
  ['hip takes, prescribed', 'J'],
  ['hip takes, led', 'J'],
  ['push-off', 'J'],
  ['of scheduled', 'J'],
  ['impact', 'N'],
  ['clearance', 'mm'],
] as const;

const steadyOf = (end: End | undefined) => (end?.kind === 'walked' ? end.report.steady : undefined);

/** Why a leg has no figures, in words. */
const whyNot = (end: End | undefined): string | undefined => {
  switch (end?.kind) {
    case 'open':
      return end.because;
    case 'faults':
      return end.faults[0]?.what;
    case 'walked':
      return end.report.steady === undefined
        ? (end.report.fell?.why ?? 'no steady stride was walked')
        : undefined;
    default:
      return undefined;
  }
};

/** The legs of the study walked one after another, and what their ratio asks of the hip. */
export function CompareLegs({ legs, walk }: CompareLegsProps) {
  const { speed, ground, control, step } = walk;
  const asked = useMemo(
    () =>
      legs.flatMap((leg) =>
        THIGHS.map((thigh): { leg: WalkingLegFile; thigh: typeof thigh; ask: WalkAsk } => ({
          leg,
          thigh,
          ask: { input: leg.input, choice: { speed, ground, thigh, control }, step, strides: STRIDES },
        })),
      ),
    [legs, speed, ground, control, step],
  );
  const [ends, setEnds] = useState<{ of: typeof asked; ends: readonly End[] }>({ of: asked, ends: [] });
  const [said, setSaid] = useState('');
  const stop = useRef<() => void>(undefined);
  // another speed or ratio is another comparison
  useEffect(() => {
    setEnds({ of: asked, ends: [] });
    setSaid('');
    return () => {
      stop.current?.();
      stop.current = undefined;
    };
  }, [asked]);
  const start = () => {
    setEnds({ of: asked, ends: [] });
    const next = (k: number) => {
      const each = asked[k];
      if (each === undefined) {
        stop.current = undefined;
        setSaid('');
        return;
      }
      const told = (done: number) =>
        setSaid(
          `Walk ${k + 1} of ${asked.length}: ${each.leg.name}, thigh ${each.thigh}, stride ${done} of ${STRIDES}`,
        );
      told(0);
      stop.current = askWalk(each.ask, (answer) => {
        if (answer.kind === 'stride') told(answer.done);
        else {
          setEnds(({ ends }) => ({ of: asked, ends: [...ends, answer] }));
          next(k + 1);
        }
      });
    };
    next(0);
  };
  const cancel = () => {
    stop.current?.();
    stop.current = undefined;
    setSaid('');
  };
  const rows: Row[] =
    ends.of === asked
      ? legs
          .map((leg, k) => ({
            leg,
            ends: { prescribed: ends.ends[2 * k], led: ends.ends[2 * k + 1] } as Row['ends'],
          }))
          .filter(({ ends: { prescribed } }) => prescribed !== undefined)
          .toSorted((a, b) => (ankleRatio(a.leg.input) || 1e9) - (ankleRatio(b.leg.input) || 1e9))
      : [];
  const whole = rows.filter(
    ({ ends: { prescribed, led } }) => steadyOf(prescribed) !== undefined && steadyOf(led) !== undefined,
  );
  const on = said !== '';
  const title = 'Work of the hip against the ratio';
  return (
    <Section title={title}>
      <p className="note">
        The study’s legs walk {STRIDES} strides each at {written(speed)} m/s, the thigh once prescribed and
        once led: between the two lies the wearer, as far as a model knows. At unchanged thigh motion, but for
        a leg without drives, which is led along a thigh of its own; stride length not predicted.
      </p>
      <p className="acts">
        {on ? (
          <button type="button" className="act" onClick={cancel}>
            Cancel
          </button>
        ) : (
          <button type="button" className="act" onClick={start}>
            Walk all {legs.length} legs of this study
          </button>
        )}
        <span role="status">{said}</span>
      </p>
      {whole.length > 1 && (
        <Figure
          rows={whole.filter(hasRatio)}
          apart={whole.filter((row) => !hasRatio(row))}
          title={`${title}, ${written(speed)} m/s`}
          speed={speed}
        />
      )}
      {rows.length > 0 && <Landings rows={rows} />}
      {rows.length > 0 && <Table rows={rows} speed={speed} />}
    </Section>
  );
}

const hasRatio = ({ leg }: Pick<Row, 'leg'>): boolean => !Number.isNaN(ankleRatio(leg.input));

/** Whether the legs without drives land on what was published of users, before anything is compared with them. */
function Landings({ rows }: { readonly rows: readonly Row[] }) {
  const told = rows.flatMap(({ leg, ends }) =>
    THIGHS.flatMap((thigh) => {
      const end = ends[thigh];
      const text = end?.kind === 'walked' ? landingVerdict(end.report) : undefined;
      return text === undefined ? [] : [`${leg.name}, ${text}`];
    }),
  );
  if (told.length === 0) return null;
  return (
    <ul className="notes">
      {told.map((text) => (
        <li key={text}>{text}</li>
      ))}
    </ul>
  );
}

interface FigureProps {
  readonly rows: readonly Row[];
  /** Legs without a ratio: across the whole scale, from one way to move the thigh to the other. */
  readonly apart: readonly Row[];
  readonly title: string;
  readonly speed: number;
}

function Figure({ rows, apart, title, speed }: FigureProps) {
  const fields = useMemo((): Fields => {
    const at = rows.map(({ leg }) => ankleRatio(leg.input));
    const values = (thigh: (typeof THIGHS)[number], of: 'hipPositiveWork' | 'pushOff') =>
      rows.map(({ ends }) => steadyOf(ends[thigh])?.[of] ?? Number.NaN);
    const field = (
      of: 'hipPositiveWork' | 'pushOff',
      name: string,
      tone: 'hip' | 'ankle',
    ): Fields['fields'][number] => {
      const [a, b] = [values('prescribed', of), values('led', of)];
      const lines = apart.flatMap(({ leg, ends }) =>
        THIGHS.map((thigh) => ({
          value: steadyOf(ends[thigh])?.[of] ?? Number.NaN,
          label: `${leg.name}, ${thigh}`,
        })),
      );
      const high = 1.12 * Math.max(...a, ...b, ...lines.map(({ value }) => value));
      return {
        ...{ name, unit: 'J a stride', low: 0, high, lines },
        curves: [
          { label: 'prescribed', look: `curve ${tone}`, ink: `in-${tone}`, values: a },
          { label: 'led', look: `second ${tone} dash-human`, ink: `in-${tone}`, values: b },
        ],
        spans: at.map((value, k) => ({ value, from: a[k] ?? Number.NaN, to: b[k] ?? Number.NaN })),
      };
    };
    return {
      ...{ at, low: 5, high: 150, along: 'ratio of the ankle, motor : joint' },
      fields: [
        field('hipPositiveWork', 'The hip gives', 'hip'),
        field('pushOff', 'The ankle pushes off with', 'ankle'),
      ],
      places: rows.map(({ leg }, k) => ({ value: at[k] ?? Number.NaN, label: leg.name })),
    };
  }, [rows, apart]);
  const words = `${title}: ${[...rows, ...apart]
    .map(({ leg, ends }) => {
      const [a, b] = [steadyOf(ends.prescribed), steadyOf(ends.led)];
      return `${legText(leg.input.leg)}${hasRatio({ leg }) ? '' : ', no drive at the ankle'}, hip gives ${fixed(a?.hipPositiveWork, 1)} J prescribed and ${fixed(b?.hipPositiveWork, 1)} J led`;
    })
    .join('; ')}.`;
  return (
    <FieldFigure
      title={title}
      words={words}
      fields={fields}
      band={190}
      fileName={`hip-work-by-ratio-${written(speed)}`}
      step={1}
    />
  );
}

function Table({ rows, speed }: { readonly rows: readonly Row[]; readonly speed: number }) {
  const cells = rows.map(({ leg, ends: { prescribed, led } }) => {
    const [a, b] = [steadyOf(prescribed), steadyOf(led)];
    const { knee, ankle } = leg.input.leg.joints;
    return {
      name: leg.name,
      why: whyNot(prescribed) ?? whyNot(led),
      values: [
        ...[knee, ankle].map((drive) => (drive === undefined ? GAP : written(drive.transmission.ratio))),
        fixed(a?.hipPositiveWork, 1),
        fixed(b?.hipPositiveWork, 1),
        fixed(a?.hipNegativeWork, 1),
        fixed(b?.hipNegativeWork, 1),
        fixed(a?.pushOff, 1),
        fixed(a?.scheduledPushOff, 1),
        fixed(a?.impact, 0),
        fixed(a === undefined ? undefined : 1e3 * a.clearance, 0),
      ],
    };
  });
  const heads = HEADS.map(([head, unit]) => (unit === '' ? head : `${head}, ${unit}`));
  return (
    <>
      <div className="cap">
        <h3>The legs side by side</h3>
        <TableActs
          what="legs"
          fileName={`legs-walked-${written(speed)}.csv`}
          rows={() => [
            ['leg', ...heads, 'not walked because'],
            ...cells.map(({ name, values, why }) => [name, ...values, why ?? '']),
          ]}
        />
      </div>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reachable by keyboard */}
      <section className="scroll" tabIndex={0} aria-label="Legs side by side">
        <table>
          <thead>
            <tr>
              <th scope="col">Leg</th>
              {HEADS.map(([head, unit]) => (
                <th scope="col" key={head}>
                  {head} <span className="quiet">{unit}</span>
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {cells.map(({ name, values, why }) => (
              <tr key={name}>
                <th scope="row">{name}</th>
                {why === undefined ? (
                  values.map((value, k) => <td key={heads[k]}>{value}</td>)
                ) : (
                  <td colSpan={HEADS.length} className="word why">
                    not walked: {why}
                  </td>
                )}
              </tr>
            ))}
          </tbody>
        </table>
      </section>
    </>
  );
}
