import { setImmediate } from 'node:timers/promises';
import {
  type DrivenJoint,
  type MostMet,
  metricCatalogue,
  mostMet,
  movedByRatio,
  openRatioWindows,
  type RequirementWindow,
  type StudyInput,
  shownUnit,
  studyDemands,
} from '@striderule/engine';
import { CAUTION } from './caution.ts';
import { heading } from './heading.ts';
import { longWork } from './long-work.ts';
import { fixed, significant } from './number-text.ts';
import { list } from './paragraph.ts';
import { json, out, strong } from './print.ts';
import { oneForm, oneOf, readStudy } from './study-read.ts';
import { csv, table } from './table.ts';
import type { Values } from './values.ts';

/** One joint: at which ratios each requirement is met, and where most are. */
interface JointWindows {
  readonly joint: DrivenJoint;
  readonly requirements: readonly RequirementWindow[];
  readonly most: MostMet | undefined;
}

/** `drive ratio`: at which ratios each requirement of the study is met. Ctrl-C stops it; nothing is ever written. */
export async function driveRatio(values: Values): Promise<number> {
  oneForm(values, 'json', 'csv');
  const { input } = await readStudy(values);
  const has = Object.keys(input.leg.joints) as DrivenJoint[];
  const joints = values.joint === undefined ? has : [oneOf('--joint', values.joint as string, has)];
  const demands = studyDemands(input);
  const all = await longWork('Trying ratios', async (signal, shown) => {
    const found: JointWindows[] = [];
    for (const [j, joint] of joints.entries()) {
      const windowOf = openRatioWindows(input, joint, demands);
      const moved = input.requirements.filter((r) => movedByRatio(r, joint, metricCatalogue[r.metric]));
      const requirements: RequirementWindow[] = [];
      for (const [k, requirement] of moved.entries()) {
        requirements.push(windowOf(requirement));
        shown.to((j + (k + 1) / moved.length) / joints.length, `${joint}, ${requirement.id}`);
        await setImmediate(); // so that Ctrl-C is heard
        signal.throwIfAborted();
      }
      found.push({ joint, requirements, most: mostMet(requirements) });
    }
    return found;
  });
  if (values.json)
    out(
      json({
        study: input.name,
        demo: input.demo,
        units: 'ratios motor : joint, to a tenth; bounds SI',
        gears: 'those of the leg file at every ratio',
        joints: Object.fromEntries(all.map(({ joint, ...rest }) => [joint, rest])),
      }),
    );
  else if (values.csv) out(windowsCsv(all));
  else out(`${strong(verdict(all))}\n${heading(input)}\n\n${text(input, all)}`);
  return 0;
}

const ratio = (n: number): string => fixed(n, 1);

function verdict(all: readonly JointWindows[]): string {
  if (all.length === 0) return 'This leg drives no joint: there is no ratio to choose.';
  const told = all.map(({ joint, requirements, most }) => {
    if (requirements.length === 0) return `${joint} not known, no requirement moves with its ratio`;
    if (most === undefined) return `${joint} none, no ratio meets any of ${requirements.length}`;
    const [from, to] = most.window;
    return `${joint} ${ratio(from)} to ${ratio(to)}:1, ${most.met} of ${requirements.length}`;
  });
  return `Most of what the study asks is met at: ${told.join('; ')}.`;
}

const boundText = ({ requirement: { bound }, unit }: RequirementWindow): string =>
  `${bound.kind === 'at most' ? '≤' : '≥'} ${significant(shownUnit(unit).of(bound.value))}`;

const windowsText = ({ windows, openBecause }: RequirementWindow): string =>
  openBecause !== undefined
    ? 'not known'
    : windows.length === 0
      ? 'at none'
      : windows.map(([from, to]) => `${ratio(from)} to ${ratio(to)}`).join(', ');

function text(input: StudyInput, all: readonly JointWindows[]): string {
  const open = all.flatMap(({ joint, requirements }) =>
    requirements.flatMap(({ requirement, openBecause }) =>
      openBecause === undefined ? [] : [`${joint}, ${requirement.id} is not known: ${openBecause}.`],
    ),
  );
  return [
    ...all.map(({ joint, requirements, most }) => jointTable(input, joint, requirements, most)),
    list([
      ...open,
      'Met: the value that is predicted keeps its bound, from 3 to 150:1 and to a tenth. Near an end its interval reaches over the bound: there the ledger says open.',
      'Every requirement counts as one. Which of them may be let go is for those who wrote them; what walks judge is not among them.',
      'The same gears at every ratio, those of the leg file. Real gears change with ratio and stages: judge the chosen ratio again with its own.',
    ]),
    CAUTION,
  ].join('\n\n');
}

function jointTable(
  input: StudyInput,
  joint: DrivenJoint,
  requirements: readonly RequirementWindow[],
  most: MostMet | undefined,
): string {
  const own = input.leg.joints[joint]!.transmission.ratio;
  return `${joint}: ratios at which each requirement is met, the leg’s is ${ratio(own)}\n${table(
    [
      { head: 'requirement', align: 'left' },
      { head: 'what', align: 'left' },
      { head: 'required' },
      { head: 'unit', align: 'left' },
      { head: 'ratios', align: 'left' },
      { head: '', align: 'left' },
    ],
    requirements.map((each) => [
      each.requirement.id,
      each.title,
      boundText(each),
      shownUnit(each.unit).unit,
      windowsText(each),
      most?.lacking.includes(each) ? '← not where most are' : '',
    ]),
  )}`;
}

/** One row a window; a requirement without one has a row without ends. */
const windowsCsv = (all: readonly JointWindows[]): string =>
  csv(
    [
      'joint',
      'requirement',
      'metric',
      'bound',
      'asked',
      'unit',
      'from',
      'to',
      'met_where_most_are',
      'open_because',
    ],
    all.flatMap(({ joint, requirements, most }) =>
      requirements.flatMap((each) =>
        (each.windows.length === 0 ? [[undefined, undefined]] : each.windows).map(([from, to]) => [
          joint,
          each.requirement.id,
          each.requirement.metric,
          each.requirement.bound.kind,
          each.requirement.bound.value,
          each.unit,
          from,
          to,
          most !== undefined && !most.lacking.includes(each) ? 'yes' : 'no',
          each.openBecause,
        ]),
      ),
    ),
  );
