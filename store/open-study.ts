import { createHash } from 'node:crypto';
import {
  Fault,
  type FaultData,
  metricCatalogue,
  nearestName,
  parseQuantity,
  type Requirement,
  type Stride,
  type StudyInput,
  speedClasses,
  type Task,
} from '@striderule/engine';
import { publishedPeaks, referenceStrides } from '@striderule/reference';
import type { z } from 'zod';
import { STUDY_FORMAT } from './format.ts';
import { legOf } from './leg-of.ts';
import { type LegFile, legSchema, type MotorFile } from './leg-schema.ts';
import { readCatalogue } from './motor-catalogue.ts';
import { listFiles, readText } from './read-files.ts';
import { strideOfRecording } from './recording-stride.ts';
import { hazardsSchema, requirementsSchema, studySchema, taskSchema, wearerSchema } from './study-schemas.ts';
import { checkShape, readYaml, type YamlFile } from './yaml-file.ts';

/** A study as it was read: the plain input of the engine, and every file it was read from. */
export interface OpenedStudy {
  readonly folder: string;
  readonly input: StudyInput;
  readonly legFile: LegFile;
  /** Name of the chosen leg and wearer files, without folder and ending. */
  readonly legName: string;
  readonly wearerName: string;
  readonly hazards: z.output<typeof hazardsSchema>;
  /** SHA-256 of each file read, by its name in the folder. */
  readonly files: Readonly<Record<string, string>>;
}

export interface OpenChoice {
  /** Another leg or wearer than the study's default. */
  readonly leg?: string;
  readonly wearer?: string;
}

const baseName = (file: string): string => file.slice(file.lastIndexOf('/') + 1).replace(/\.[^.]+$/, '');

/** Reads a study folder, or throws one Fault that carries every fault found. */
export async function openStudy(folder: string, choice: OpenChoice = {}): Promise<OpenedStudy> {
  const { study, faults } = await readStudy(folder, choice);
  if (study === null) throw new Fault(faults);
  return study;
}

/** Every fault of a study folder, all legs and wearers included; empty where it is sound. Changes nothing. */
export async function checkStudy(folder: string): Promise<FaultData[]> {
  const faults: FaultData[] = [];
  const seen = new Set<string>();
  const choices: OpenChoice[] = [
    {},
    ...listFiles(folder, 'legs', '.yaml').map((f) => ({ leg: baseName(f) })),
    ...listFiles(folder, 'wearers', '.yaml').map((f) => ({ wearer: baseName(f) })),
  ];
  for (const choice of choices) {
    for (const fault of (await readStudy(folder, choice)).faults) {
      const key = JSON.stringify(fault);
      if (!seen.has(key)) faults.push(fault);
      seen.add(key);
    }
  }
  return faults;
}

async function readStudy(
  folder: string,
  choice: OpenChoice,
): Promise<{ study: OpenedStudy | null; faults: FaultData[] }> {
  const faults: FaultData[] = [];
  const files: Record<string, string> = {};
  const text = (name: string): string | null => {
    const read = readText(folder, name);
    faults.push(...read.faults);
    if (read.text !== null) files[name] = createHash('sha256').update(read.text).digest('hex');
    return read.text;
  };
  const shaped = <T>(name: string, schema: z.ZodType<T>): { value: T; file: YamlFile } | null => {
    const source = text(name);
    if (source === null) return null;
    const { file, faults: syntax } = readYaml(name, source);
    faults.push(...syntax);
    if (file === null) return null;
    const checked = checkShape(file, schema);
    faults.push(...checked.faults);
    return checked.value === null ? null : { value: checked.value, file };
  };

  const head = headOf(text('study.yaml'), faults);
  if (head === null) return { study: null, faults };
  const legName = choice.leg ?? head.leg;
  const wearerName = choice.wearer ?? head.wearer;
  const catalogue = new Map<string, MotorFile>();
  for (const name of listFiles(folder, 'motors', '.csv')) {
    const source = text(name);
    if (source === null) continue;
    const read = readCatalogue(name, source);
    faults.push(...read.faults);
    for (const [motor, values] of read.motors) catalogue.set(motor, values);
  }
  const wearer = shaped(`wearers/${wearerName}.yaml`, wearerSchema);
  const legRead = shaped(`legs/${legName}.yaml`, legSchema);
  const made = legRead === null ? null : legOf(legRead.value, legRead.file, catalogue);
  faults.push(...(made?.faults ?? []));
  const strides: Record<string, Stride> = {};
  const tasks: Task[] = [];
  for (const name of listFiles(folder, 'tasks', '.yaml')) {
    const read = shaped(name, taskSchema);
    if (read === null) continue;
    const task = await taskOf(folder, baseName(name), read.value, read.file, strides, faults);
    if (task !== null) tasks.push(task);
  }
  const requirementsRead = shaped('requirements.yaml', requirementsSchema);
  const requirements =
    requirementsRead === null
      ? []
      : requirementsOf(requirementsRead.value, requirementsRead.file, tasks, faults);
  const hazards = listFiles(folder, '.', '.yaml').includes('./hazards.yaml')
    ? shaped('hazards.yaml', hazardsSchema)
    : null;
  if (faults.length > 0 || wearer === null || legRead === null || made === null || made.leg === null)
    return { study: null, faults };

  const w = wearer.value;
  const demo = [head.notice, legRead.value.notice, w.notice].some(
    (notice) => notice !== undefined && /demo data/i.test(notice),
  );
  const input: StudyInput = {
    name: head.name,
    demo,
    wearer: {
      code: w.code,
      mass: w.massWithoutDevice.si,
      height: w.height.si,
      side: w.side,
      ...(w.residualLimbLength && { residualLimbLength: w.residualLimbLength.si }),
    },
    leg: made.leg,
    spreads: made.spreads,
    strides,
    tasks,
    requirements,
  };
  return {
    study: {
      folder,
      input,
      legFile: legRead.value,
      legName,
      wearerName,
      hazards: hazards?.value ?? [],
      files,
    },
    faults,
  };
}

type Head = z.output<typeof studySchema>;

/** study.yaml, its format checked before its shape: what a newer program wrote is not judged by today's schema. */
function headOf(source: string | null, faults: FaultData[]): Head | null {
  if (source === null) return null;
  const { file, faults: syntax } = readYaml('study.yaml', source);
  faults.push(...syntax);
  if (file === null) return null;
  const format = (file.value as { format?: unknown } | null)?.format;
  if (typeof format === 'number' && format !== STUDY_FORMAT) {
    const newer = format > STUDY_FORMAT;
    faults.push({
      code: newer ? 'store.newer-format' : 'store.older-format',
      what: newer
        ? `this study has format ${format}, this program reads ${STUDY_FORMAT}`
        : `this study has format ${format}, the present one is ${STUDY_FORMAT}`,
      mend: newer
        ? 'Use the version of Striderule that wrote it, or a newer one'
        : 'Run `striderule study migrate`; the originals are kept',
      place: file.place(['format']),
    });
    return null;
  }
  const checked = checkShape(file, studySchema);
  faults.push(...checked.faults);
  return checked.value;
}

async function taskOf(
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

function requirementsOf(
  list: z.output<typeof requirementsSchema>,
  file: YamlFile,
  tasks: readonly Task[],
  faults: FaultData[],
): Requirement[] {
  return list.flatMap((r, i): Requirement[] => {
    const metric = Object.hasOwn(metricCatalogue, r.metric) ? metricCatalogue[r.metric] : undefined;
    if (metric === undefined) {
      const names = Object.keys(metricCatalogue);
      const near = nearestName(r.metric, names);
      faults.push({
        code: 'store.unknown-metric',
        what: `There is no metric \`${r.metric}\``,
        mend: near ? `Did you mean \`${near}\`?` : `Use one of: ${names.join(', ')}`,
        place: file.place([i, 'metric']),
      });
      return [];
    }
    if (r.task !== undefined && !tasks.some((task) => task.id === r.task)) {
      const near = nearestName(
        r.task,
        tasks.map((task) => task.id),
      );
      faults.push({
        code: 'store.unknown-task',
        what: `There is no task \`${r.task}\``,
        mend: near ? `Did you mean \`${near}\`?` : 'Name a file of tasks/, without its ending',
        place: file.place([i, 'task']),
      });
      return [];
    }
    const key = r.atMost !== undefined ? 'atMost' : 'atLeast';
    const parsed = parseQuantity(r[key]!, metric.kind);
    if (!('si' in parsed)) {
      faults.push({ code: 'store.bound', what: parsed.what, mend: parsed.mend, place: file.place([i, key]) });
      return [];
    }
    return [
      {
        id: r.id,
        metric: r.metric,
        ...(r.joint && { joint: r.joint }),
        ...(r.task && { task: r.task }),
        bound: { kind: key === 'atMost' ? 'at most' : 'at least', value: parsed.si },
        because: r.because,
      },
    ];
  });
}
