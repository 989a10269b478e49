import { Fault, type FaultData } from '../quantity/fault.ts';
import { GRAVITY } from './inverse-dynamics.ts';
import type { ChannelName, Recipe } from './recipe.ts';
import type { JointName } from './stride.ts';

export type ChannelKind = 'angle' | 'moment' | 'power' | 'force';

/** One mapped column: where it is, and what turns its numbers into SI per body mass (or weight) with engine signs. */
export interface Channel {
  readonly name: ChannelName;
  readonly kind: ChannelKind;
  readonly column: string | number;
  readonly unit: string;
  /** engine value = factor × number in the file */
  readonly factor: number;
}

export const JOINTS: readonly JointName[] = ['hip', 'knee', 'ankle'];

/** Units a column may have, by kind, as factors to rad, N·m/kg, W/kg and body weights. `mass` in kg. */
export const UNIT_FACTORS: Readonly<Record<ChannelKind, Readonly<Record<string, (mass: number) => number>>>> =
  {
    angle: { deg: () => Math.PI / 180, rad: () => 1 },
    moment: {
      'N*m/kg': () => 1,
      'N*m': (mass) => 1 / mass,
      'N*mm/kg': () => 1e-3,
      'N*mm': (mass) => 1e-3 / mass,
    },
    power: { 'W/kg': () => 1, W: (mass) => 1 / mass },
    force: {
      BW: () => 1,
      '%BW': () => 0.01,
      N: (mass) => 1 / (mass * GRAVITY),
      'N/kg': () => 1 / GRAVITY,
    },
  };

const ABSOLUTE = new Set(['N*m', 'N*mm', 'W', 'N']);

/** Column directions that run against the engine's. */
const AGAINST = new Set(['extension', 'plantarflexion', 'absorption', 'backward', 'down']);

/** The words by which a fault names a column. */
export const columnName = (column: string | number): string =>
  typeof column === 'number' ? `column ${column}` : `\`${column}\``;

function columnsOf(recipe: Recipe) {
  const list: [
    ChannelName,
    ChannelKind,
    { column: string | number; unit: string; positive: string } | undefined,
  ][] = [];
  for (const joint of JOINTS) {
    list.push([`${joint}.angle`, 'angle', recipe[joint]?.angle]);
    list.push([`${joint}.moment`, 'moment', recipe[joint]?.moment]);
    list.push([`${joint}.power`, 'power', recipe[joint]?.power]);
  }
  list.push(['thigh.angle', 'angle', recipe.thigh]);
  list.push(['groundForce.vertical', 'force', recipe.groundForce?.vertical]);
  list.push(['groundForce.foreAft', 'force', recipe.groundForce?.foreAft]);
  return list;
}

/** The mapped columns in a fixed order. Throws every fault of the recipe that can be seen without its file. */
export function recordingChannels(recipe: Recipe): readonly Channel[] {
  const faults: FaultData[] = [];
  const fault = (code: string, what: string, mend: string, path: string) =>
    faults.push({ code: `gait.recipe-${code}`, what, mend, place: { path } });
  const channels = columnsOf(recipe).flatMap(([name, kind, mapped]): Channel[] => {
    if (mapped === undefined) return [];
    if (ABSOLUTE.has(mapped.unit) && recipe.bodyMass === undefined) {
      fault(
        'body-mass',
        `${columnName(mapped.column)} is in ${mapped.unit} and the recipe has no body mass`,
        'Add `bodyMass:` of the person recorded, without the device',
        name,
      );
    }
    const toSi = UNIT_FACTORS[kind][mapped.unit];
    if (toSi === undefined) throw new Error(`no ${kind} unit ${mapped.unit}`);
    const sign = AGAINST.has(mapped.positive) ? -1 : 1;
    return [
      {
        name,
        kind,
        column: mapped.column,
        unit: mapped.unit,
        factor: sign * toSi(recipe.bodyMass ?? Number.NaN),
      },
    ];
  });
  if (!channels.some(({ kind }) => kind === 'angle'))
    fault('no-joint', 'The recipe maps no joint', 'Map at least one of hip:, knee:, ankle:', '');
  if ((recipe.percent === undefined) === (recipe.time === undefined))
    fault(
      'clock',
      recipe.time === undefined
        ? 'The recipe names neither a per cent nor a time column'
        : 'The recipe names both a per cent and a time column',
      'Name exactly one of `percent:` and `time:`',
      '',
    );
  if (recipe.percent !== undefined && recipe.strideTime === undefined)
    fault(
      'stride-time',
      'A stride in per cent does not say how long it took',
      'Add `strideTime:`, the mean time from initial contact to the next of the same foot',
      'strideTime',
    );
  if (recipe.time !== undefined && recipe.strideTime !== undefined)
    fault(
      'stride-time-twice',
      'The stride time is given, and the time column gives it too',
      'Delete `strideTime:`',
      'strideTime',
    );
  if (typeof recipe.stance === 'object' && recipe.groundForce === undefined)
    fault(
      'stance-force',
      'Stance is to end by ground force, and no ground force is mapped',
      'Map `groundForce: vertical:`, or give `stance:` as a share',
      'stance',
    );
  if (typeof recipe.stance === 'object' && recipe.bodyMass === undefined)
    fault(
      'stance-force-mass',
      'Stance is to end below a force in newtons, and the recipe has no body mass',
      'Add `bodyMass:`, or give `stance:` as a share',
      'stance',
    );
  if (faults.length > 0) throw new Fault(faults);
  return channels;
}
