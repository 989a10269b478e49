import type { Supply } from '../drive/battery.ts';
import { type BrakeResistor, busFlow } from '../drive/bus-flow.ts';
import { sharedPower } from '../drive/shared-power.ts';
import { motionAt, type OwnMotion } from './own-motion.ts';
import { strideRanges } from './stride-ranges.ts';
import { LOG, LOG_WIDTH, type WalkLog, WORKS } from './walk-log.ts';

/** How a joint went over one stride. SI, engine signs. */
export interface JointStride {
  /** Of angle less the reference's own at its place, rad RMS; and by how long the joint trails it, s. */
  readonly error: number;
  readonly lag: number;
  /** On the distal segment: largest N·m against and along the joint's positive direction; W; J. */
  readonly lowestTorque: number;
  readonly highestTorque: number;
  readonly highestPower: number;
  readonly lowestPower: number;
  readonly positiveWork: number;
  readonly negativeWork: number;
  readonly highestAngle: number;
  /** rad/s, either way. */
  readonly fastest: number;
  /** A: peak and RMS; K at the end; W of copper, mean. */
  readonly peakCurrent: number;
  readonly rmsCurrent: number;
  readonly winding: number;
  readonly copper: number;
  /** Shares of the stride at the largest current, and where the bus allows no more. */
  readonly atCurrentLimit: number;
  readonly atBusLimit: number;
  /** Of gears with play: how often the load goes over to the other flank; N·m that the speed of the hardest meeting of flanks can add, v·√(K_g·N²J). NaN without play. */
  readonly flankChanges: number;
  readonly hardestMeeting: number;
}

/** One stride of a walk, from contact to contact. */
export interface WalkStride {
  /** s: of contact, and how long it took; share in stance. */
  readonly time: number;
  readonly duration: number;
  readonly stance: number;
  readonly knee: JointStride;
  readonly ankle: JointStride;
  /** N: largest up, within the first 50 ms, hardest backwards and forwards on the foot. */
  readonly up: number;
  readonly impact: number;
  readonly braking: number;
  readonly propulsion: number;
  /** m ahead of the ankle: least and most of the centre of pressure. */
  readonly pressureFrom: number;
  readonly pressureTo: number;
  /** m: least height of the forefoot in the middle half of swing. */
  readonly clearance: number;
  /** N along the thigh, compression positive, and across; N·m. */
  readonly socketAlong: number;
  readonly socketAcross: number;
  readonly socketMoment: number;
  readonly hip: {
    /** N·m: hardest into extension (< 0) and into flexion. J of τ·θ̇. */
    readonly extension: number;
    readonly flexion: number;
    readonly positiveWork: number;
    readonly negativeWork: number;
    /** W: largest τ·θ̇ around toe-off, while the hip pulls the leg off the ground. */
    readonly pullOff: number;
  };
  readonly pushOff: {
    /** J the ankle gave from its greatest dorsiflexion in stance to the end of stance. */
    readonly work: number;
    /** At the end of stance: thigh, rad; force along the shank, N; phase of stance that the controller was at; whether that was early. */
    readonly thigh: number;
    readonly load: number;
    readonly phase: number;
    readonly early: boolean;
  };
  readonly energy: {
    /** J: out of the cells less back into them; back into them; one joint to the other; burnt in resistor and windings; V at least. */
    readonly cells: number;
    readonly returned: number;
    readonly shared: number;
    readonly burnt: number;
    readonly lowestVoltage: number;
  };
  /** N RMS of the guide; J of work of each of WORKS. */
  readonly guide: number;
  readonly works: { readonly [work in (typeof WORKS)[number]]: number };
  /** Periods in which the controller told of a fault. */
  readonly faults: number;
}

/** Time after contact that counts as impact, s. Our choice. */
const IMPACT = 0.05;
/** Part of swing in which the forefoot is looked at. Our choice, that of `swingClearance`. */
const MIDDLE = { from: 0.25, to: 0.75 } as const;
/** Part of the stride, before and after toe-off, in which the hip pulls off. Our choice. */
const PULL_OFF = 0.15;
/** Phase of stance before which its end is early. Our choice: a twentieth. */
const EARLY = 0.95;

/** What the strides are set against. */
export interface StridesOf {
  readonly knee: OwnMotion;
  readonly ankle: OwnMotion;
  /** Left out: the leg has no bus, and energy is not there: NaN. */
  readonly supply?: Supply;
  readonly brake?: BrakeResistor;
}

/** Whole strides of a walk, from each contact that the controller saw to the next; the `last` so many, or all. */
export function walkStrides(log: WalkLog, of: StridesOf, last = Number.POSITIVE_INFINITY): WalkStride[] {
  return strideRanges(log)
    .filter(({ whole }) => whole)
    .slice(-last)
    .map(({ from, to }) => strideOf(log, of, from, to));
}

/** Columns of the log that belong to one joint. */
const OF_JOINT = {
  knee: {
    angle: LOG.knee,
    rate: LOG.kneeRate,
    torque: LOG.kneeTorque,
    current: LOG.kneeCurrent,
    limit: LOG.kneeLimit,
    changes: LOG.kneeChanges,
    meeting: LOG.kneeMeeting,
    winding: LOG.kneeWinding,
    copper: LOG.kneeCopper,
  },
  ankle: {
    angle: LOG.ankle,
    rate: LOG.ankleRate,
    torque: LOG.ankleTorque,
    current: LOG.ankleCurrent,
    limit: LOG.ankleLimit,
    changes: LOG.ankleChanges,
    meeting: LOG.ankleMeeting,
    winding: LOG.ankleWinding,
    copper: LOG.ankleCopper,
  },
} as const;

// Every figure is gathered row by row: in the log it is a long way from one number of a column to the next.
function strideOf(log: WalkLog, of: StridesOf, from: number, to: number): WalkStride {
  const { table, period } = log;
  const n = to - from;
  const begin = from * LOG_WIDTH;
  const end = to * LOG_WIDTH;
  const y = (i: number, place: number): number => table[begin + i * LOG_WIDTH + place];
  const places = new Float64Array(n);
  let off = 0;
  while (off < n && y(off, LOG.mode) === 0) off++;
  let on = log.stretch ? off : n;
  // a stretch goes on after its swing
  while (on < n && y(on, LOG.mode) !== 0) on++;
  const swing = on - off;
  const up = new Extremes();
  const impact = new Extremes();
  const forward = new Extremes();
  const pressure = new Extremes();
  const clearance = new Extremes();
  const along = new Extremes();
  const across = new Extremes();
  const moment = new Extremes();
  const hipTorque = new Extremes();
  const hip = new Work(period);
  const around = Math.round(PULL_OFF * n);
  const strikes = Math.round(IMPACT / period);
  const middle = off + Math.floor(MIDDLE.from * swing);
  const late = off + Math.ceil(MIDDLE.to * swing);
  let [pullOff, guide, faults, bent] = [0, 0, 0, 0];
  for (let i = 0, row = begin; i < n; i++, row += LOG_WIDTH) {
    places[i] = table[row + LOG.place];
    const torque = table[row + LOG.hipTorque];
    const power = torque * table[row + LOG.thighRate];
    hipTorque.take(torque);
    hip.take(power);
    if (i >= off - around && i < off + around && torque > 0) pullOff = Math.max(pullOff, power);
    up.take(table[row + LOG.up]);
    if (i < strikes) impact.take(table[row + LOG.up]);
    forward.take(table[row + LOG.forward]);
    pressure.take(table[row + LOG.pressure]);
    if (i >= middle && i < late) clearance.take(table[row + LOG.forefoot]);
    along.take(table[row + LOG.socketAlong]);
    across.take(table[row + LOG.socketAcross]);
    moment.take(table[row + LOG.socketMoment]);
    guide += table[row + LOG.guide] * table[row + LOG.guide];
    if (table[row + LOG.fault] !== 0) faults++;
    if (i < off && table[row + LOG.ankle] > y(bent, LOG.ankle)) bent = i;
  }
  let pushed = 0;
  for (let i = bent; i < off; i++) pushed += y(i, LOG.ankleTorque) * y(i, LOG.ankleRate) * period;
  const last = Math.max(0, off - 1);
  const shank = y(last, LOG.thigh) - y(last, LOG.knee);
  return {
    time: y(0, LOG.time),
    duration: n * period,
    stance: off / n,
    knee: joint('knee'),
    ankle: joint('ankle'),
    up: up.most,
    impact: impact.most,
    braking: forward.least,
    propulsion: forward.most,
    pressureFrom: pressure.least,
    pressureTo: pressure.most,
    // a leg that never swings has none
    clearance: late <= middle ? Number.NaN : clearance.least,
    socketAlong: -along.least,
    socketAcross: Math.max(across.most, -across.least),
    socketMoment: Math.max(moment.most, -moment.least),
    hip: {
      extension: hipTorque.least,
      flexion: hipTorque.most,
      positiveWork: hip.positive,
      negativeWork: hip.negative,
      pullOff,
    },
    pushOff: {
      work: pushed,
      thigh: y(last, LOG.thigh),
      load: y(last, LOG.up) * Math.cos(shank) - y(last, LOG.forward) * Math.sin(shank),
      phase: y(last, LOG.phase),
      // without a controller there is no phase, NaN, and nothing is early
      early: y(last, LOG.phase) < EARLY,
    },
    energy: energy(),
    guide: Math.sqrt(guide / n),
    works: Object.fromEntries(
      WORKS.map((name, k) => [name, y(n - 1, LOG.works + k) - y(0, LOG.works + k)]),
    ) as WalkStride['works'],
    faults,
  };

  function joint(name: 'knee' | 'ankle'): JointStride {
    const place = OF_JOINT[name];
    const own = motionAt(of[name], places, Math.round(log.strideTime / log.step));
    // extremes in plain numbers here: each number given to a function that is not drawn in costs an object
    let [least, most, bent, current] = [
      Number.POSITIVE_INFINITY,
      Number.NEGATIVE_INFINITY,
      Number.NEGATIVE_INFINITY,
      0,
    ];
    let [fastest, positive, negative] = [0, 0, 0];
    let [square, trails, paces, amperes, watts] = [0, 0, 0, 0, 0];
    let [high, low] = [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY];
    let [atCurrent, atBus] = [0, 0];
    let [changes, hardest] = [0, 0];
    for (let i = 0, row = begin; row < end; i++, row += LOG_WIDTH) {
      const pace = own.rate[i] / log.strideTime;
      const torque = table[row + place.torque];
      const rate = table[row + place.rate];
      const angle = table[row + place.angle];
      const power = torque * rate;
      const joules = power * period;
      const ampere = table[row + place.current];
      const limit = table[row + place.limit];
      const error = angle - own.angle[i];
      square += error * error;
      trails += error * pace;
      paces += pace * pace;
      high = Math.max(high, power);
      low = Math.min(low, power);
      if (joules > 0) positive += joules;
      else negative += joules;
      if (torque > most) most = torque;
      if (torque < least) least = torque;
      if (angle > bent) bent = angle;
      if (Math.abs(rate) > fastest) fastest = Math.abs(rate);
      if (Math.abs(ampere) > current) current = Math.abs(ampere);
      amperes += ampere * ampere;
      watts += table[row + place.copper];
      changes += table[row + place.changes];
      hardest = Math.max(hardest, table[row + place.meeting]);
      if (limit === 1) atCurrent++;
      if (limit === 2) atBus++;
    }
    // a leg without drives has no currents, not currents of zero
    const driven = of.supply !== undefined;
    return {
      error: Math.sqrt(square / n),
      lag: -trails / paces,
      lowestTorque: least,
      highestTorque: most,
      highestPower: high,
      lowestPower: low,
      positiveWork: positive,
      negativeWork: negative,
      highestAngle: bent,
      fastest,
      peakCurrent: driven ? current : Number.NaN,
      rmsCurrent: Math.sqrt(amperes / n),
      winding: y(n - 1, place.winding),
      copper: watts / n,
      atCurrentLimit: driven ? atCurrent / n : Number.NaN,
      atBusLimit: driven ? atBus / n : Number.NaN,
      flankChanges: changes,
      hardestMeeting: hardest,
    };
  }

  function energy(): WalkStride['energy'] {
    const { supply } = of;
    if (supply === undefined)
      return {
        cells: Number.NaN,
        returned: Number.NaN,
        shared: Number.NaN,
        burnt: Number.NaN,
        lowestVoltage: Number.NaN,
      };
    const both = new Float64Array(n);
    const perVolt = new Float64Array(n);
    let shared = 0;
    for (let i = 0, row = begin; i < n; i++, row += LOG_WIDTH) {
      const knee = table[row + LOG.kneePower];
      const ankle = table[row + LOG.anklePower];
      both[i] = knee + ankle;
      perVolt[i] = table[row + LOG.busPerVolt];
      shared += sharedPower(knee, ankle) * period;
    }
    const flow = busFlow(supply, of.brake, both, perVolt);
    let [cells, returned, burnt, lowest] = [0, 0, 0, Number.POSITIVE_INFINITY];
    for (let i = 0; i < n; i++) {
      // what the cells themselves give or take, their own resistance counted as theirs
      const joules = flow.current[i] * supply.openCircuitVoltage * period;
      cells += joules;
      if (joules < 0) returned -= joules;
      burnt += (flow.resistor[i] + flow.windings[i]) * period;
      lowest = Math.min(lowest, flow.voltage[i]);
    }
    return { cells, returned, shared, burnt, lowestVoltage: lowest };
  }
}

/** Largest and least, what is no number passed over. */
class Extremes {
  readonly #found = Float64Array.of(Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY);
  take(x: number): void {
    const found = this.#found;
    if (x > found[0]) found[0] = x;
    if (x < found[1]) found[1] = x;
  }
  get most(): number {
    return this.#found[0];
  }
  get least(): number {
    return this.#found[1];
  }
}

/** J of a power, what is given and what is taken. */
class Work {
  readonly #sums = new Float64Array(2);
  readonly #period: number;
  constructor(period: number) {
    this.#period = period;
  }
  take(watts: number): void {
    const joules = watts * this.#period;
    if (joules > 0) this.#sums[0] += joules;
    else this.#sums[1] += joules;
  }
  get positive(): number {
    return this.#sums[0];
  }
  get negative(): number {
    return this.#sums[1];
  }
}

const none = <T extends object>(of: T): T =>
  Object.fromEntries(Object.keys(of).map((key) => [key, Number.NaN])) as T;

/** A way of several strides told as one: what belongs to one contact, one stance or one swing is not there. */
export function wayOfStrides(way: WalkStride): WalkStride {
  const { impact, clearance, stance } = way;
  return {
    ...way,
    ...none({ impact, clearance, stance }),
    hip: { ...way.hip, pullOff: Number.NaN },
    pushOff: { ...none(way.pushOff), early: false },
  };
}

/** A stride of a leg that hangs: of what ground, wearer and gait do to a leg nothing is there, and NaN is no zero. */
export function hungStride(stride: WalkStride): WalkStride {
  const { up, impact, braking, propulsion, pressureFrom, pressureTo, clearance, guide } = stride;
  const { socketAlong, socketAcross, socketMoment } = stride;
  return {
    ...stride,
    ...none({ up, impact, braking, propulsion, pressureFrom, pressureTo, clearance, guide }),
    ...none({ socketAlong, socketAcross, socketMoment }),
    hip: none(stride.hip),
    pushOff: { ...none(stride.pushOff), early: false },
    works: {
      ...none(stride.works),
      motors: stride.works.motors,
      'joint friction': stride.works['joint friction'],
      springs: stride.works.springs,
      'end stops': stride.works['end stops'],
    },
  };
}
