// The first program to copy: what does natural walking ask of this leg's ankle, and what does its motor see?
//
//   npx tsx examples/ankle-first-look.ts

import path from 'node:path';
import { driveLoad, gaitDemand, shownMoment } from '@striderule/engine';
import { openStudy } from '@striderule/store';

/** Reads the demo study, takes one task through demand and drive, and words the result. */
export async function ankleFirstLook(): Promise<string> {
  const { input } = await openStudy(path.join(import.meta.dirname, 'tern'));
  const { wearer, leg, strides, tasks } = input;

  // The study covers more than the mean person (coverage 1); the mean person is what a hand calculation gives.
  const walk = tasks.find(({ id }) => id === 'walk-natural');
  if (walk?.kind !== 'stride') throw new Error('the study has no stride task walk-natural');
  const task = { ...walk, coverage: 0 };

  // What the stride asks: a record of arrays over 0–100 %, SI, engine signs.
  const demand = gaitDemand(task, strides, wearer, leg.segments);
  if (demand.kind !== 'stride' || demand.joints.ankle === undefined)
    throw new Error('this task has no ankle curve');
  const { ankle } = demand.joints;

  // What motor and ratio make of it.
  const drive = leg.joints.ankle;
  if (drive === undefined) throw new Error('this leg drives no ankle');
  const load = driveLoad(drive, ankle, leg.busVoltage);

  const pushOff = ankle.peak.momentPercent;
  const moment = shownMoment(ankle.moment[pushOff * 2]!); // two samples a per cent; plantarflexor positive
  return [
    input.demo ? 'DEMO DATA: this leg and wearer are invented.' : '',
    `${task.title}, mean person, wearer ${wearer.code}, ${wearer.mass} kg`,
    `ankle moment   peaks at ${moment.toFixed(1)} N·m (plantarflexor positive), ${pushOff.toFixed(1)} % of the stride`,
    `ankle power    generates up to ${ankle.peak.generation.toFixed(0)} W, ${ankle.work.positive.toFixed(1)} J a stride`,
    `motor torque   peaks at ${load.peakTorque.toFixed(2)} N·m behind ${drive.transmission.ratio}:1, rms ${load.rmsTorque.toFixed(2)} N·m`,
    `motor current  peaks at ${load.peakCurrent.toFixed(1)} A peak phase`,
    `margins        torque ${load.torqueMargin.toFixed(2)}, speed ${load.speedMargin.toFixed(2)} (limit ÷ need)`,
  ]
    .filter((line) => line !== '')
    .join('\n');
}

if (process.argv[1] === import.meta.filename) console.log(await ankleFirstLook());
