import {
  type AskedImpedance,
  askedImpedance,
  type DrivenJoint,
  type Gains as GainsOf,
  type Load,
  loadsOf,
  type StanceSchedule,
  type StudyInput,
  sampledDrive,
  stableStiffness,
  statedGains,
} from '@striderule/engine';
import {
  type KeyboardEvent,
  type PointerEvent,
  useCallback,
  useEffect,
  useMemo,
  useRef,
  useState,
} from 'react';
import { DAMPING_REACH, gainKey, onGainScales, STIFFNESS_REACH } from '../design/gain-reach.ts';
import { fromElement, toElement } from '../draw/mark.ts';
import { svgFile } from '../draw/svg-file.ts';
import { valueAtPx } from '../drive/log-scale.ts';
import { useWidth } from '../rule/use-width.ts';
import { Section } from '../sections/section.tsx';
import { csvText } from '../show/csv.ts';
import { significant, written } from '../show/number.ts';
import { saveFile } from '../show/save-file.ts';
import { drawGainGround, drawGains, stiffestOf } from './draw-gains.ts';
import { FieldFigure } from './field-figure.tsx';
import { gainFrame, gainsAt, xOf, yOf } from './gain-frame.ts';
import { gainMarks } from './gain-marks.ts';
import { renderedFields } from './rendered-model.ts';
import { TypedGain } from './typed-gain.tsx';
import { useGainMap } from './use-gain-map.ts';

/** ms after the last key until a burst of keys counts as one step. */
const BURST = 700;

interface GainsProps {
  readonly input: StudyInput;
  readonly joint: DrivenJoint;
  readonly schedule: StanceSchedule | { readonly openBecause: string };
  readonly gains: GainsOf;
  /** A gesture has ended: these gains are a step that can be undone. */
  readonly onSet: (gains: GainsOf) => void;
}

/** Stiffness and damping asked of a joint: slid over a map of what the loop bears, and what comes of them. */
export function Gains({ input, joint, schedule, gains, onSet }: GainsProps) {
  const sampled = useMemo(() => {
    const of = sampledDrive(input, joint);
    return 'openBecause' in of ? undefined : of;
  }, [input, joint]);
  const [moving, setMoving] = useState<GainsOf>();
  const now = moving ?? gains;
  const asked = useMemo(() => askedImpedance(input, joint, now), [input, joint, now]);
  const loads = useMemo(() => loadsOf(input, joint), [input, joint]);
  const { damping } = now;
  const limit = useMemo(
    () => (sampled === undefined ? Number.NaN : stableStiffness(sampled, loads, damping).joint.stiffness),
    [sampled, loads, damping],
  );
  const set = useCallback(
    (to: GainsOf) => {
      setMoving(undefined);
      onSet(to);
    },
    [onSet],
  );
  if (sampled === undefined) {
    const why = sampledDrive(input, joint);
    return (
      <Section title={`The ${joint} as a spring and a damper`}>
        <p className="empty">Not predicted: {'openBecause' in why ? why.openBecause : ''}.</p>
      </Section>
    );
  }
  return (
    <Section title={`The ${joint} as a spring and a damper`}>
      <p className="note">
        Slide the stiffness, or take the cross on the map: what software, delay, filter, gears and motor make
        of the spring and the damper that are asked follows. Ratio{' '}
        {written(input.leg.joints[joint]?.transmission.ratio ?? Number.NaN)} : 1; gains are no part of the leg
        file and nothing is saved of them.
      </p>
      <div className="cols gains">
        <div className="col">
          <Slide
            {...{ input, joint, schedule, now, limit, asked, sampled, loads }}
            onMove={setMoving}
            onSet={set}
          />
        </div>
        <div className="col">
          <Verdict input={input} joint={joint} now={now} asked={asked} limit={limit} />
        </div>
      </div>
      {!('openBecause' in asked) && <Rendered of={asked} joint={joint} />}
    </Section>
  );
}

/** One word for the loop where the cross stands. */
function verdictOf(asked: AskedImpedance | { readonly openBecause: string }): string {
  if ('openBecause' in asked) return 'beyond the gears';
  if (!asked.stability.every(({ largest }) => largest < 1)) return 'unstable';
  return asked.passivity.passive ? 'stable and passive' : 'stable, not passive';
}

interface SlideProps extends Omit<GainsProps, 'gains'> {
  readonly now: GainsOf;
  readonly limit: number;
  readonly asked: AskedImpedance | { readonly openBecause: string };
  readonly sampled: AskedImpedance['joint'];
  readonly loads: readonly Load[];
  readonly onMove: (gains: GainsOf) => void;
}

function Slide({ input, joint, schedule, now, limit, asked, sampled, loads, onMove, onSet }: SlideProps) {
  const host = useRef<HTMLDivElement>(null);
  const ground = useRef<SVGSVGElement>(null);
  const over = useRef<SVGSVGElement>(null);
  const drawing = useRef<ReturnType<typeof drawGains>>(undefined);
  const drag = useRef<'stiffness' | 'both' | undefined>(undefined);
  const timer = useRef<ReturnType<typeof setTimeout>>(undefined);
  const { width, laidOut } = useWidth(host);
  const marks = useMemo(() => gainMarks(joint, input.wearer.mass, schedule), [joint, input, schedule]);
  const frame = useMemo(() => gainFrame(width, marks.length), [width, marks]);
  const stated = useMemo(() => onGainScales(statedGains(input)), [input]);
  const made = useGainMap(sampled, loads);
  const verdict = verdictOf(asked);
  const at = useRef(now);
  at.current = now;

  useEffect(() => {
    if (!laidOut) return;
    ground.current?.replaceChildren(
      ...drawGainGround(frame, marks, made?.map, 'working out 40 000 loops …').map(toElement),
    );
  }, [laidOut, frame, marks, made]);
  const shown = useRef({ now, limit, verdict });
  useEffect(() => {
    if (!laidOut || over.current === null) return;
    drawing.current = drawGains(over.current, frame, stated);
    drawing.current.move(shown.current.now, shown.current.limit, shown.current.verdict);
  }, [laidOut, frame, stated]);
  useEffect(() => {
    shown.current = { now, limit, verdict };
    drawing.current?.move(now, limit, verdict);
  }, [now, limit, verdict]);

  // a burst of keys that the page leaves behind is a step all the same
  const last = useRef(onSet);
  last.current = onSet;
  const endBurst = useCallback(() => {
    if (timer.current === undefined) return;
    clearTimeout(timer.current);
    timer.current = undefined;
    last.current(at.current);
  }, []);
  useEffect(() => endBurst, [endBurst]);

  const pointed = (event: PointerEvent): void => {
    const box = (ground.current as SVGSVGElement).getBoundingClientRect();
    const [x, y] = [event.clientX - box.left, event.clientY - box.top];
    const there = gainsAt(frame, x, y);
    onMove(
      onGainScales(
        drag.current === 'both'
          ? there
          : { ...at.current, stiffness: valueAtPx(frame.stiffness, x - frame.x0) },
      ),
    );
  };
  const onPointerDown = (event: PointerEvent<HTMLDivElement>) => {
    if (event.button !== 0) return;
    const y = event.clientY - event.currentTarget.getBoundingClientRect().top;
    drag.current = y > frame.top - 4 ? 'both' : 'stiffness';
    event.currentTarget.setPointerCapture(event.pointerId);
    pointed(event);
  };
  const onPointerMove = (event: PointerEvent<HTMLDivElement>) => {
    if (drag.current !== undefined && event.currentTarget.hasPointerCapture(event.pointerId)) pointed(event);
  };
  const onPointerUp = () => {
    if (drag.current === undefined) return;
    drag.current = undefined;
    onSet(at.current);
  };
  const onKey = (what: keyof GainsOf) => (event: KeyboardEvent) => {
    if (event.altKey || event.ctrlKey || event.metaKey) {
      endBurst();
      return;
    }
    const to = gainKey(what, event.key, event.shiftKey, at.current);
    if (to === undefined) return;
    event.preventDefault();
    onMove(onGainScales(to));
    clearTimeout(timer.current);
    timer.current = setTimeout(endBurst, BURST);
  };

  const most = made === undefined ? undefined : stiffestOf(made.map);
  const words = `Map of stiffness and damping of the ${joint}. At ${written(now.stiffness)} newton metres per radian and ${written(now.damping)} newton metre seconds per radian: ${verdict}. At this damping stable up to ${significant(limit)} newton metres per radian.${most === undefined ? '' : ` Most of all at ${significant(most.damping)}: ${significant(most.stiffness)}.`}`;
  const title = `${joint}, ${written(now.stiffness)} N·m/rad and ${written(now.damping)} N·m·s/rad`;
  const saveSvg = () =>
    saveFile(
      `${joint}-gains.svg`,
      svgFile(
        frame.width,
        frame.height,
        title,
        words,
        [...(ground.current?.children ?? []), ...(over.current?.children ?? [])].map(fromElement),
      ),
      'image/svg+xml',
    );
  const saveCsv = () => {
    if (made === undefined) return;
    const { stiffnesses, dampings, stable, passive, within } = made.map;
    saveFile(
      `${joint}-gain-map.csv`,
      csvText([
        ['damping N·m·s/rad', 'stiffness N·m/rad', 'stable', 'passive', 'within the gears'],
        ...[...dampings].flatMap((damping, row) =>
          [...stiffnesses].map((stiffness, column) => {
            const k = row * stiffnesses.length + column;
            return [
              Number(damping.toPrecision(6)),
              Number(stiffness.toPrecision(6)),
              ...[stable[k], passive[k], within[k]],
            ];
          }),
        ),
      ]),
      'text/csv',
    );
  };
  const slider = (what: keyof GainsOf) => ({
    'aria-valuetext': `${written(now[what])} ${what === 'stiffness' ? 'newton metres per radian' : 'newton metre seconds per radian'}, ${verdict}`,
    onKeyDown: onKey(what),
  });
  return (
    <figure className="gain-map" aria-label={`Stiffness and damping of the ${joint}`}>
      <div className="typed-gains">
        <TypedGain what="stiffness" gains={now} onSet={onSet} />
        <TypedGain what="damping" gains={now} onSet={onSet} />
      </div>
      <div
        className="gain-face"
        ref={host}
        onPointerDown={onPointerDown}
        onPointerMove={onPointerMove}
        onPointerUp={onPointerUp}
        onPointerCancel={onPointerUp}
      >
        <svg ref={ground} width={frame.width} height={frame.height} role="img" aria-label={words} />
        <svg ref={over} className="moving" width={frame.width} height={frame.height} aria-hidden="true" />
        <div
          className="gain-knob"
          role="slider"
          tabIndex={0}
          aria-valuemin={STIFFNESS_REACH.low}
          aria-valuemax={STIFFNESS_REACH.high}
          aria-valuenow={now.stiffness}
          {...slider('stiffness')}
          aria-label={`Stiffness of the ${joint}`}
          aria-orientation="horizontal"
          style={{ left: xOf(frame, now.stiffness), top: frame.base + 12 }}
        />
        <div
          className="gain-knob"
          role="slider"
          tabIndex={0}
          aria-valuemin={DAMPING_REACH.low}
          aria-valuemax={DAMPING_REACH.high}
          aria-valuenow={now.damping}
          {...slider('damping')}
          aria-label={`Damping of the ${joint}`}
          aria-orientation="vertical"
          style={{
            left: frame.x0 + frame.axis + (frame.narrow ? -8 : 9),
            top: yOf(frame, now.damping),
          }}
        />
      </div>
      <figcaption className="acts">
        <button type="button" className="act" onClick={saveSvg}>
          Save the map as SVG
        </button>
        <button type="button" className="act" disabled={made === undefined} onClick={saveCsv}>
          Save the map as CSV
        </button>
        <button type="button" className="act" onClick={() => onSet(stated)}>
          Back to {written(stated.stiffness)} and {written(stated.damping)}
        </button>
        {made !== undefined && (
          <span className="quiet" data-map-took={made.took}>
            200 × 200 points in {significant(made.took, 2)} s
          </span>
        )}
      </figcaption>
    </figure>
  );
}

interface VerdictProps {
  readonly input: StudyInput;
  readonly joint: DrivenJoint;
  readonly now: GainsOf;
  readonly asked: AskedImpedance | { readonly openBecause: string };
  readonly limit: number;
}

const loadText = (joint: DrivenJoint, load: Load): string =>
  load === 'held' ? 'output held' : `with ${joint === 'knee' ? 'shank and foot' : 'the foot'}`;

/** What comes of the gains where the cross stands. */
function Verdict({ joint, now, asked, limit }: VerdictProps) {
  if ('openBecause' in asked)
    return (
      <p className="strong" role="status">
        Not rendered: {asked.openBecause}.
      </p>
    );
  const { passivity, slow, stability, software, joint: sampled } = asked;
  const unstable = !stability.every(({ largest }) => largest < 1);
  const rows: readonly (readonly [string, string, string])[] = [
    ['asked', `${written(now.stiffness)}, ${written(now.damping)}`, 'N·m/rad, N·m·s/rad'],
    [
      'software holds',
      `${significant(software.stiffness)}, ${significant(software.damping)}`,
      'N·m/rad, N·m·s/rad',
    ],
    ['stable at this damping to', significant(limit), 'N·m/rad'],
    ...stability.map(
      ({ load, largest }) =>
        [
          `a push, ${loadText(joint, load)}`,
          largest < 1
            ? `a third after ${significant((-1e3 * sampled.period) / Math.log(largest))}`
            : `grows ${significant(100 * (largest - 1))} %`,
          largest < 1 ? 'ms' : 'a period',
        ] as const,
    ),
    ['damping of its own', significant(passivity.own), 'N·m·s/rad'],
    ['passive needs', significant(passivity.needed.damping), 'N·m·s/rad'],
    ['slow motion meets', `${significant(slow.damping)}, ${significant(slow.inertia)}`, 'N·m·s/rad, kg·m²'],
    [
      'stiffness within ±10 % to',
      asked.stiffnessBandwidth === 0 ? 'nowhere' : significant(asked.stiffnessBandwidth),
      'Hz',
    ],
    [
      'stiffness and damping to',
      asked.impedanceBandwidth === 0 ? 'nowhere' : significant(asked.impedanceBandwidth),
      'Hz',
    ],
  ];
  return (
    <div className="gain-said">
      <p className="strong" role="status">
        {unstable
          ? 'Unstable: the sampled loop grows by itself. Do not try it on anything that can hurt or break.'
          : passivity.passive
            ? 'Stable, and passive against whatever it touches.'
            : 'Stable, not passive: what it touches may make it ring.'}
      </p>
      <table>
        <tbody>
          {rows.map(([what, value, unit]) => (
            <tr key={what}>
              <th scope="row">{what}</th>
              <td>{value}</td>
              <td className="word quiet">{unit}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <p className="caution">
        Limits leave no margin, and dry friction hides a loop that is not stable. Gains for a real leg begin
        low, tethered, with an emergency stop, and are raised on the bench; then overhead harness, ethics
        board, licensed prosthetist, and the standards and local codes that apply.
      </p>
    </div>
  );
}

function Rendered({ of, joint }: { readonly of: AskedImpedance; readonly joint: DrivenJoint }) {
  const fields = useMemo(() => renderedFields(of, joint), [of, joint]);
  const upTo = of.stiffnessBandwidth;
  const words = `Stiffness, damping and inertia of the ${joint} over frequency. Asked ${written(of.requested.stiffness)} newton metres per radian and ${written(of.requested.damping)} newton metre seconds per radian; the stiffness is within ten per cent ${upTo === 0 ? 'nowhere' : `up to ${significant(upTo)} hertz`}.`;
  return (
    <div className="rendered">
      <h3>Rendered against requested</h3>
      <FieldFigure
        title={`Rendered against requested, ${joint}`}
        words={words}
        fields={fields}
        band={150}
        fileName={`rendered-${joint}`}
        step={10}
      />
      <p className="note">
        Moved by ±5.7°, dry friction and mesh loss in it by their first harmonic; play of the gears,
        saturation, socket and flesh are not. Swing asks for about 6 Hz, heel strike for 10 Hz and more
        (COMMON PRACTICE).
      </p>
    </div>
  );
}
