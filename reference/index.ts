import { readdirSync, readFileSync } from 'node:fs';
import type { JointName, PeaksTask, Stride, StrideCurve } from '@striderule/engine';
import { type PublishedJoint, scaledCurve, toEngineSigns } from './to-engine-signs.ts';

const folder = new URL('./gait/', import.meta.url);
const read = (name: string) => JSON.parse(readFileSync(new URL(name, folder), 'utf8'));

type PublishedStride = Omit<Stride, 'joints' | 'thigh'> & {
  readonly joints: { readonly [joint in JointName]?: PublishedJoint };
  readonly thighDeg?: StrideCurve;
  readonly residuals?: unknown;
};

let strides: Readonly<Record<string, Stride>> | undefined;

/** Every stride that ships, by id, in engine signs and SI. Read once. Sources and licences travel with each. */
export function referenceStrides(): Readonly<Record<string, Stride>> {
  strides ??= Object.fromEntries(
    readdirSync(folder)
      .filter((name) => name.endsWith('.json'))
      .map((name) => {
        const { joints, thighDeg, residuals: _, ...rest } = read(name) as PublishedStride;
        const stride: Stride = {
          ...rest,
          joints: Object.fromEntries(
            Object.entries(joints).map(([joint, curves]) => [joint, toEngineSigns(curves)]),
          ),
          ...(thighDeg && { thigh: scaledCurve(thighDeg, Math.PI / 180) }),
        };
        return [stride.id, stride];
      }),
  );
  return strides;
}

/** Tasks of which only peaks are published, by id: N·m/kg and rad/s, magnitudes, with their sources. */
export function publishedPeaks(): Readonly<
  Record<string, Pick<PeaksTask, 'id' | 'title' | 'joints' | 'caveats'>>
> {
  const list = read('tables/peaks-only.json') as PeaksTask[];
  return Object.fromEntries(list.map((task) => [task.id, task]));
}
