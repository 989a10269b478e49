// What does the ratio trade? The same ankle behind 9:1, 22:1 and 50:1: torque left over against the hand that must move it.
//
//   npx tsx examples/ratio-trade.ts

import path from 'node:path';
import {
  type DriveFigures,
  type DriveLoad,
  evaluateDesign,
  type StudyInput,
  studyDemands,
} from '@striderule/engine';
import { openStudy } from '@striderule/store';

/** What one ratio gives. */
export interface RatioTrade {
  readonly ratio: number;
  readonly figures: DriveFigures;
  /** The natural walk. */
  readonly load: DriveLoad;
}

/** The study's ankle at other ratios, everything else as it is: a record is changed by making another. */
export function ankleAtRatios(input: StudyInput, ratios: readonly number[]): readonly RatioTrade[] {
  const ankle = input.leg.joints.ankle;
  if (ankle === undefined) throw new Error('this leg drives no ankle');
  const demands = studyDemands(input); // the ratio does not change what walking asks
  return ratios.map((ratio) => {
    const changed = { ...ankle, transmission: { ...ankle.transmission, ratio } };
    const leg = { ...input.leg, joints: { ...input.leg.joints, ankle: changed } };
    const design = evaluateDesign({ ...input, leg }, demands);
    return { ratio, figures: design.figures.ankle!, load: design.loads['walk-natural']!.ankle! };
  });
}

/** The trade as a table. */
export function tradeText(trades: readonly RatioTrade[]): string {
  const row = (name: string, of: (trade: RatioTrade) => number, digits: number): string =>
    name.padEnd(44) + trades.map((trade) => of(trade).toFixed(digits).padStart(9)).join('');
  return [
    row('ratio', ({ ratio }) => ratio, 0),
    row('reflected inertia, kg·m²', ({ figures }) => figures.reflectedInertia, 3),
    row('breakaway, unpowered, N·m', ({ figures }) => figures.breakaway, 2),
    row('back-drive torque, moving, N·m', ({ figures }) => figures.backDrive, 2),
    row('peak joint torque with mesh loss, N·m', ({ figures }) => figures.peakTorque, 0),
    row('rms motor torque, natural walk, N·m', ({ load }) => load.rmsTorque, 2),
    row('torque margin, natural walk, limit ÷ need', ({ load }) => load.torqueMargin, 2),
    row('speed margin, natural walk, limit ÷ need', ({ load }) => load.speedMargin, 2),
  ].join('\n');
}

if (process.argv[1] === import.meta.filename) {
  const { input } = await openStudy(path.join(import.meta.dirname, 'tern'));
  if (input.demo) console.log('DEMO DATA: this leg and wearer are invented.');
  console.log(tradeText(ankleAtRatios(input, [9, 22, 50])));
}
