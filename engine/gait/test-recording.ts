import { sampleCurve } from './curve.ts';
import type { ChannelName, Recipe } from './recipe.ts';
import type { Stride, StrideCurve } from './stride.ts';
import { recordingColumns } from './stride-from-recording.ts';

/** A recipe that maps every joint of a stride under its own names, in engine units and signs. */
export function plainRecipe(stride: Stride, more: Partial<Recipe> = {}): Recipe {
  const joint = <Sign extends 'flexion' | 'dorsiflexion'>(name: 'hip' | 'knee' | 'ankle', positive: Sign) => {
    const curves = stride.joints[name];
    return (
      curves && {
        angle: { column: `${name}.angle`, unit: 'rad' as const, positive },
        ...(curves.moment && { moment: { column: `${name}.moment`, unit: 'N*m/kg' as const, positive } }),
        ...(curves.power && {
          power: { column: `${name}.power`, unit: 'W/kg' as const, positive: 'generation' as const },
        }),
      }
    );
  };
  const [hip, knee, ankle] = [
    joint('hip', 'flexion'),
    joint('knee', 'flexion'),
    joint('ankle', 'dorsiflexion'),
  ];
  return {
    delimiter: ',',
    decimal: '.',
    percent: 'percent',
    strideTime: stride.strideTime,
    strideEnds: 'last row',
    leaveOut: [],
    stance: stride.stance,
    cutOff: 40 / stride.strideTime,
    largestGap: 0.05,
    accept: [],
    ...(hip && { hip }),
    ...(knee && { knee }),
    ...(ankle && { ankle }),
    ...(stride.thigh && {
      thigh: { column: 'thigh.angle', unit: 'rad' as const, positive: 'forward' as const },
    }),
    ...(stride.groundForce && {
      groundForce: {
        vertical: { column: 'groundForce.vertical', unit: 'BW' as const, positive: 'up' as const },
        foreAft: { column: 'groundForce.foreAft', unit: 'BW' as const, positive: 'forward' as const },
      },
    }),
    ...more,
  };
}

/** The curve of a stride under a channel's name. */
export function curveOf(stride: Stride, channel: ChannelName): StrideCurve | undefined {
  const [place, quantity] = channel.split('.') as [string, string];
  if (place === 'thigh') return stride.thigh;
  if (place === 'groundForce') return stride.groundForce?.[quantity as 'vertical' | 'foreAft'];
  return stride.joints[place as 'knee']?.[quantity as 'angle'];
}

/** A stride as the rows of a file with one row each half per cent; `alter` changes a cell. */
export function rowsOf(
  stride: Stride,
  recipe: Recipe,
  alter: (value: number, column: string, row: number) => number = (value) => value,
): number[][] {
  const columns = recordingColumns(recipe) as string[];
  const values = columns.map((column) => {
    const curve = curveOf(stride, column as ChannelName);
    if (curve === undefined) return Array.from({ length: 201 }, (_, i) => i / 2);
    return Array.from(sampleCurve(curve).value);
  });
  return Array.from({ length: 201 }, (_, i) => columns.map((column, c) => alter(values[c][i], column, i)));
}
