import type { FaultData } from '@striderule/engine';
import { Fault, nearestName, type Stride, speedClasses, type Task } from '@striderule/engine';
import { publishedPeaks, referenceStrides } from '@striderule/reference';
import type { z } from 'zod';
import { strideOfRecording } from './recording-stride.ts';
import type { taskSchema } from './study-schemas.ts';
import type { YamlFile } from './yaml-file.ts';

/** The engine's task of a task file; the strides it needs are added to `strides`, what is wrong to `faults`. */
export async function taskOf(
  folder: string,
  id: string,
  t: z.output<typeof taskSchema>,
  file: YamlFile,
  strides: Record<string, Stride>,
  faults: FaultData[],
): Promise<Task | null> {
  const duty = {
    ...(t.duty?.strides !== undefined && { strides: t.duty.strides }),
    ...(t.duty?.duration && { duration: t.duty.duration.si }),
  };
  const unknown = (path: string[], name: string, among: readonly string[], what: string) => {
    const near = nearestName(name, among);
    faults.push({
      code: 'store.unknown-reference',
      what: `There is no ${what} \`${name}\``,
      mend: near ? `Did you mean \`${near}\`?` : `Use one of: ${among.join(', ')}`,
      place: file.place(path),
    });
    return null;
  };
  if (t.standing !== undefined) {
    return {
      kind: 'standing',
      id,
      title: t.title,
      loadShare: t.standing.loadShare.si,
      lean: t.standing.lean.si,
      duty,
    };
  }
  if (t.peaks !== undefined) {
    const known = publishedPeaks();
    const peaks = Object.hasOwn(known, t.peaks) ? known[t.peaks] : undefined;
    if (peaks === undefined) return unknown(['peaks'], t.peaks, Object.keys(known), 'published peaks task');
    return { kind: 'peaks', id, title: t.title, joints: peaks.joints, caveats: peaks.caveats, duty };
  }
  const from = t.from!;
  const reference = referenceStrides();
  const common = {
    kind: 'stride',
    id,
    title: t.title,
    coverage: t.coverage ?? 0,
    ankleSizing: t.ankleSizing ?? 'able-bodied',
    duty,
  } as const;
  if (from.reference !== undefined) {
    const stride = Object.hasOwn(reference, from.reference) ? reference[from.reference] : undefined;
    if (stride === undefined)
      return unknown(['from', 'reference'], from.reference, Object.keys(reference), 'reference stride');
    strides[stride.id] = stride;
    return { ...common, stride: stride.id };
  }
  if (from.recording !== undefined) {
    try {
      const stride = await strideOfRecording(folder, id, t.title, from.recording);
      strides[stride.id] = stride;
      return { ...common, stride: stride.id };
    } catch (error) {
      if (!(error instanceof Fault)) throw error;
      faults.push(...error.faults);
      return null;
    }
  }
  const classes = speedClasses(reference);
  for (const stride of classes) strides[stride.id] = stride;
  const speed = from.speed!.si;
  const [slow, fast] = [classes[0]!.speed!, classes[classes.length - 1]!.speed!];
  if (!(speed >= slow && speed <= fast)) {
    faults.push({
      code: 'store.speed',
      what: `strides are known from ${slow} to ${fast} m/s`,
      mend: 'Choose a speed between, or record strides at this one',
      place: file.place(['from', 'speed']),
    });
    return null;
  }
  const nearest = classes.reduce((a, b) => (Math.abs(b.speed! - speed) < Math.abs(a.speed! - speed) ? b : a));
  return { ...common, stride: nearest.id, speed, ...(from.surface && { surface: from.surface }) };
}
