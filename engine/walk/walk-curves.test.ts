import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { curveAt } from '../gait/curve.ts';
import type { StudyInput } from '../study/study-input.ts';
import { openWalkReport } from '../study/walk-report.ts';
import { strideRanges } from './stride-ranges.ts';
import { type WalkRecord, walkCurves, walkInstant } from './walk-curves.ts';
import { LOG, LOG_WIDTH } from './walk-log.ts';
import { walkParts } from './walk-parts.ts';
import { walkPose } from './walk-pose.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);

function walked(of: StudyInput, strides: number, ground: 'treadmill' | 'overground' = 'treadmill') {
  const walk = openWalkReport(of, { speed: 1.1, ground }, { step: 2.5e-4, strides });
  if ('openBecause' in walk) throw new Error(walk.openBecause);
  for (let k = 0; k < strides && walk.stride(); k++);
  return { report: walk.report(), record: walk.record() };
}
const at = ({ log }: WalkRecord, row: number, place: number) => log.table[row * LOG_WIDTH + place]!;

const { report, record } = walked(input, 5);
const ranges = strideRanges(record.log);
const range = ranges.at(-1)!;
const curves = walkCurves(record, range);

describe('strides of a walk', () => {
  test('they are those that are reported, and between them nothing is left out', () => {
    expect(ranges.map(({ from, to }) => (to - from) * record.log.period)).toEqual(
      report.strides.map(({ duration }) => duration),
    );
    for (const [k, next] of ranges.slice(1).entries()) expect(next.from).toBe(ranges[k]!.to);
  });

  test('stance and swing tell one of them: it falls into no other parts', () => {
    for (const each of ranges) expect(walkParts(record.log, each)).toBeUndefined();
  });

  test('the foot leaves the ground once the force is too small to have a centre', () => {
    for (const { lifted, from, to } of ranges) {
      expect(at(record, lifted - 1, LOG.up)).toBeGreaterThanOrEqual(20);
      expect(at(record, lifted, LOG.up)).toBeLessThan(20);
      expect((lifted - from) / (to - from)).toBeGreaterThan(0.55); // stance of level walking
      expect((lifted - from) / (to - from)).toBeLessThan(0.7);
    }
  });

  test('a walk that fell keeps what stands of its last stride', () => {
    const { knee, ankle } = input.leg.joints;
    const weak = { knee: { ...knee!, currentLimit: 2 }, ankle: { ...ankle!, currentLimit: 2 } };
    const fallen = walked({ ...input, leg: { ...input.leg, joints: weak } }, 6);
    expect(fallen.report.fell?.why).toBe('the hip sank');
    const last = strideRanges(fallen.record.log).at(-1)!;
    expect([last.whole, last.to]).toEqual([false, fallen.record.log.rows]);
    // stance and swing do not tell it: every row of it is in the part that its load says
    const parts = walkParts(fallen.record.log, last)!;
    expect([parts[0]!.from, parts.at(-1)!.to]).toEqual([last.from, last.to]);
    for (const { name, from, to } of parts)
      for (let row = from; row < to; row++)
        expect(name).toBe(at(fallen.record, row, LOG.up) >= 20 ? 'foot loaded' : 'foot free');
    const { up, duration } = walkCurves(fallen.record, last);
    expect(duration).toBeCloseTo(fallen.report.strideTime, 12);
    const known = up.findLastIndex((force) => !Number.isNaN(force));
    // to within the half per cent at which curves are sampled
    expect(Math.abs((known * duration) / 200 - (last.to - 1 - last.from) * 1e-3)).toBeLessThan(
      duration / 200,
    );
    expect(up.slice(0, known).every(Number.isFinite)).toBe(true);
  });
});

describe('curves of a stride', () => {
  test('begin at its contact and end at the next, as the log has them', () => {
    for (const [curve, place] of [
      [curves.knee.angle, LOG.knee],
      [curves.ankle.torque, LOG.ankleTorque],
      [curves.hipMoment, LOG.hipTorque],
      [curves.up, LOG.up],
      [curves.forefoot, LOG.forefoot],
    ] as const)
      expect([curve[0], curve[200]]).toEqual([at(record, range.from, place), at(record, range.to, place)]);
  });

  test('their power is the work that is reported, summed another way', () => {
    const reported = report.strides.at(-1)!;
    // half a per cent is some 6 ms: the knee's impact at contact is over in less
    for (const [name, within] of [
      ['ankle', 0.01],
      ['knee', 0.05],
    ] as const) {
      const { power } = curves[name];
      const joules = power.slice(1).reduce((sum, watts, i) => sum + (watts + power[i]!) / 2, 0);
      const { positiveWork, negativeWork } = reported[name];
      const apart = (joules * curves.duration) / 200 - (positiveWork + negativeWork);
      expect(Math.abs(apart)).toBeLessThan(within * (positiveWork - negativeWork));
    }
  });

  test('the stride that is walked stands beside them at the same instant, not at the same share', () => {
    const row = Math.round(range.from + (range.to - range.from) * 0.3);
    const percent = 100 * at(record, row, LOG.place);
    const { joints, groundForce } = record.stride;
    expect(curves.ankle.own[60]).toBeCloseTo(curveAt(joints.ankle!.angle, percent).value, 2);
    expect(curves.ownUp[60]! / (report.weight * curveAt(groundForce!.vertical, percent).value)).toBeCloseTo(
      1,
      2,
    );
    expect(curves.ownThigh[60]).toBeCloseTo(curveAt(record.stride.thigh!, percent).value, 2);
  });

  test('the controller leads nowhere in stance, and in swing somewhere', () => {
    expect(curves.ankle.target[40]).toBeNaN();
    expect(curves.ankle.target[160]).toBeTypeOf('number');
    expect(curves.knee.target[160]).not.toBeNaN();
  });
});

test('an instant is a row of the log, and each sample of a curve is the instant nearest to it', () => {
  const row = range.from + 317;
  const { knee, ankle, up, ownThigh } = walkInstant(record, row);
  expect([knee.angle, ankle.asked, up, ownThigh]).toEqual(
    [LOG.knee, LOG.ankleAsked, LOG.up, LOG.ownThigh].map((place) => at(record, row, place)),
  );
  expect(ankle.power).toBe(at(record, row, LOG.ankleTorque) * at(record, row, LOG.ankleRate));
  const moment = record.stride.joints.hip!.moment!;
  expect(walkInstant(record, row).ownHipMoment).toBe(
    record.mass * curveAt(moment, 100 * at(record, row, LOG.place)).value,
  );
  for (let sample = 0; sample <= 200; sample++) {
    const nearest = range.from + Math.round(((range.to - range.from) * sample) / 200);
    const instant = walkInstant(record, nearest);
    expect([curves.ankle.power[sample], curves.knee.own[sample], curves.ownUp[sample]]).toEqual([
      instant.ankle.power,
      instant.knee.own,
      instant.ownUp,
    ]);
  }
});

describe.each(['treadmill', 'overground'] as const)('the pose of the leg, %s', (ground) => {
  const { record } = walked(input, 4, ground);
  const range = strideRanges(record.log).at(-1)!;
  const { segments } = input.leg;

  test('its lowest sole point is where the walk itself had it', () => {
    for (let row = range.from; row < range.to; row += 50) {
      const { hip, leg } = walkPose(record, segments, range, row);
      // the ground is told for the beginning of the last step, 0.25 ms before the pose; a sole point goes at most some 4 m/s
      expect(Math.abs(hip.z + leg.lowest - at(record, row, LOG.lowest))).toBeLessThan(4 * 2.5e-4);
    }
  });

  test('a point that stands on the ground stays where it is on the ruler', () => {
    const standing = (row: number) => {
      const { hip, leg } = walkPose(record, segments, range, row);
      const k = leg.sole.findIndex(({ z }) => z === leg.lowest);
      return { k, x: hip.x + leg.sole[k]!.x };
    };
    let seen = 0;
    for (let row = range.from + 60; row < range.from + 0.5 * (range.to - range.from); row += 10) {
      const [now, next] = [standing(row), standing(row + 10)];
      if (now.k !== next.k) continue; // the foot rolled on to its next point
      seen++;
      // the hip goes some 11 mm meanwhile
      expect(Math.abs(next.x - now.x)).toBeLessThan(1.5e-3);
    }
    expect(seen).toBeGreaterThan(10);
  });

  test('the hip goes one stride length from contact to contact', () => {
    const { hip } = walkPose(record, segments, range, range.to);
    const time = (range.to - range.from) * record.log.period;
    expect(hip.x).toBeCloseTo(1.1 * time, 1);
  });
});
