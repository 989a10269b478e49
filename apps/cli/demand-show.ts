import {
  type Demand,
  Fault,
  gaitDemand,
  type JointName,
  type StrideDemand,
  type StudyInput,
} from '@striderule/engine';
import { instantTable, strideCsv, strideDrawing } from './demand-stride.ts';
import { summaryCsv, summaryTables, verdict } from './demand-summary.ts';
import { heading } from './heading.ts';
import { json, out, strong } from './print.ts';
import { chosenTasks, oneForm, oneOf, readStudy } from './study-read.ts';
import type { Values } from './values.ts';

const JOINTS: readonly JointName[] = ['hip', 'knee', 'ankle'];

/** `demand show`: what human strides ask of this leg. */
export async function demandShow(values: Values): Promise<number> {
  oneForm(values, 'json', 'csv');
  oneForm(values, 'csv', 'at');
  const { input } = await readStudy(values);
  const joints = values.joint === undefined ? JOINTS : [oneOf('--joint', values.joint as string, JOINTS)];
  const tasks = chosenTasks(input, values.task);
  const instant =
    values.at === undefined ? undefined : instantOf(values.at as string, values.task !== undefined);
  const { wearer, leg, strides } = input;
  const demands = tasks.map((task) => gaitDemand(task, strides, wearer, leg.segments));

  if (values.json) out(json(asData(input, demands, joints, instant)));
  else if (values.task === undefined) {
    if (values.csv) out(summaryCsv(demands, joints));
    else out(`${strong(verdict(demands, joints))}\n${heading(input)}\n\n${summaryTables(demands, joints)}`);
  } else {
    const demand = demands[0]!;
    if (demand.kind !== 'stride') {
      if (values.csv || instant !== undefined) throw noCurve(demand);
      out(`${strong(verdict(demands, joints))}\n${heading(input)}\n\n${summaryTables(demands, joints)}`);
    } else if (values.csv) out(strideCsv(demand, joints));
    else {
      const body =
        instant === undefined ? strideDrawing(demand, joints) : instantTable(demand, joints, instant);
      out(`${strong(verdict(demands, joints))}\n${heading(input)}\n\n${body}`);
    }
  }
  return 0;
}

/** `--at` as a sample of the stride: 0, 0.5 … 100 per cent. */
function instantOf(text: string, withTask: boolean): number {
  if (!withTask) {
    throw new Fault({
      code: 'cli.at-without-task',
      what: '--at needs one stride to stand in',
      mend: 'Name it with --task, such as --task walk-natural',
    });
  }
  const percent = Number(text);
  if (text.trim() === '' || !(percent >= 0 && percent <= 100) || !Number.isInteger(percent * 2)) {
    throw new Fault({
      code: 'cli.at',
      what: `--at "${text}" is no instant of the stride`,
      mend: 'Give 0 to 100 in half per cents, such as --at 46 or --at 62.5',
    });
  }
  return percent;
}

function noCurve(demand: Exclude<Demand, StrideDemand>): Fault {
  return new Fault({
    code: 'cli.no-curve',
    what: `task ${demand.task.id} has no curve over the stride`,
    mend: 'Leave --at and --csv out, or choose a task with a curve',
  });
}

/** The engine's own records: SI, engine signs; typed arrays as lists, null where a number is missing. */
function asData(
  input: StudyInput,
  demands: readonly Demand[],
  joints: readonly JointName[],
  instant: number | undefined,
): unknown {
  const kept = demands.map((demand) => ({
    ...demand,
    joints:
      demand.kind === 'standing'
        ? undefined
        : Object.fromEntries(
            Object.entries(demand.joints).filter(([joint]) => joints.includes(joint as JointName)),
          ),
  }));
  return {
    study: input.name,
    demo: input.demo,
    signs:
      'engine: flexion and dorsiflexion positive, moments along the angle they increase (docs/notation.md)',
    units: 'SI: N·m, rad, rad/s, W, J, s, kg',
    ...(instant === undefined ? {} : { atPercent: instant, sample: instant * 2 }),
    demands: kept,
  };
}
