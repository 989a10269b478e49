import {
  controllerFaults,
  evaluateDesign,
  Fault,
  type FaultData,
  type JointThermal,
  mappedFaults,
  type Requirement,
  type Stride,
  type StudyController,
  type StudyInput,
  type Task,
} from '@striderule/engine';
import type { z } from 'zod';
import { controllerOf, placedInController } from './controller-of.ts';
import { controllerSchema } from './controller-schema.ts';
import { fingerprint } from './fingerprint.ts';
import { evidenceFaults } from './hazard-evidence.ts';
import type { MotorFile } from './joint-schema.ts';
import { legOf } from './leg-of.ts';
import { type LegFile, legSchema } from './leg-schema.ts';
import { type Catalogue, engineCatalogue, readCatalogue } from './motor-catalogue.ts';
import { requirementsOf } from './requirements-of.ts';
import { scenarioOf } from './scenario-of.ts';
import { scenarioSchema } from './scenario-schema.ts';
import { headOf } from './study-head.ts';
import { type Shaped, type StudyReader, studyReader } from './study-reader.ts';
import { hazardsSchema, requirementsSchema, taskSchema, wearerSchema } from './study-schemas.ts';
import { taskOf } from './task-of.ts';

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
  /** Another leg, wearer or controller than the study's default. */
  readonly leg?: string;
  readonly wearer?: string;
  readonly controller?: string;
  /** Texts that stand for files of the study, by name: the study as it would be after an edit. Their SHA-256 is not given. */
  readonly instead?: Readonly<Record<string, string>>;
}

const baseName = (file: string): string => file.slice(file.lastIndexOf('/') + 1).replace(/\.[^.]+$/, '');

/** Reads a study folder, or throws one Fault that carries every fault found. */
export async function openStudy(folder: string, choice: OpenChoice = {}): Promise<OpenedStudy> {
  const reader = studyReader(folder, choice.instead);
  const study = await readStudy(reader, choice);
  if (study === null) throw new Fault(reader.faults);
  return study;
}

/** Every fault of a study folder, all legs and wearers included; empty where it is sound. Changes nothing. */
export async function checkStudy(folder: string): Promise<FaultData[]> {
  const reader = studyReader(folder);
  const study = await readStudy(reader, {});
  const head = headOf(reader.text('study.yaml'), []);
  if (head.stop) return reader.faults;
  for (const name of reader.list('wearers', '.yaml')) reader.shaped(name, wearerSchema);
  for (const name of reader.list('legs', '.yaml')) {
    // the default leg has been through this
    if (baseName(name) !== head.value?.leg) readLeg(reader, name, readMotors(reader, []));
  }
  if (study !== null) {
    const hazards = reader.shaped('hazards.yaml', hazardsSchema);
    const known = {
      requirement: study.input.requirements.map(({ id }) => id),
      fault: mappedFaults(study.input.leg).map(({ id }) => id),
      scenario: (study.input.scenarios ?? []).map(({ id }) => id),
    };
    if (hazards !== null) reader.faults.push(...evidenceFaults(hazards.value, hazards.file, known));
  }
  const design = study === null ? null : evaluateDesign(study.input);
  for (const name of reader.list('controllers', '.yaml')) {
    // the default controller has been through this
    const isDefault = baseName(name) === head.value?.controller;
    const { made } = readController(reader, baseName(name), isDefault ? [] : reader.faults);
    const file = reader.shaped(name, controllerSchema)?.file;
    // the machine is judged on the default leg and wearer, once everything it reads is sound
    if (study === null || design === null || made === undefined || file === undefined) continue;
    const found = controllerFaults({ ...study.input, controller: made }, design);
    reader.faults.push(...found.map((fault) => placedInController(fault, file)));
  }
  return reader.faults;
}

/** Reads what a study needs with this leg and wearer. Null where the reader has collected faults. */
async function readStudy(reader: StudyReader, choice: OpenChoice): Promise<OpenedStudy | null> {
  const { folder, faults } = reader;
  const { stop, value: head } = headOf(reader.text('study.yaml'), faults);
  if (stop) return null;
  misnamed(reader);
  const legName = choice.leg ?? head?.leg;
  const wearerName = choice.wearer ?? head?.wearer;
  const catalogue = readMotors(reader, faults);
  const wearer = wearerName === undefined ? null : reader.shaped(`wearers/${wearerName}.yaml`, wearerSchema);
  const leg = legName === undefined ? null : readLeg(reader, `legs/${legName}.yaml`, catalogue);
  if (wearer !== null && leg !== null) sideFault(leg, wearer, faults);
  const strides: Record<string, Stride> = {};
  const tasks: Task[] = [];
  const notices: (string | undefined)[] = [];
  for (const name of reader.list('tasks', '.yaml')) {
    const read = reader.shaped(name, taskSchema);
    if (read === null) continue;
    const task = await taskOf(folder, baseName(name), read.value, read.file, strides, faults);
    if (task !== null) tasks.push(task);
    notices.push(read.value.notice);
  }
  const controllerName = choice.controller ?? head?.controller;
  const controller = controllerName === undefined ? undefined : readController(reader, controllerName);
  const required = reader.shaped('requirements.yaml', requirementsSchema);
  const taskNames = reader.list('tasks', '.yaml').map(baseName);
  const requirements: Requirement[] =
    required === null ? [] : requirementsOf(required.value, required.file, taskNames, faults);
  const scenarios = reader.list('scenarios', '.yaml').flatMap((name) => {
    const read = reader.shaped(name, scenarioSchema);
    if (read === null || leg?.made.leg == null) return [];
    const of = { leg: leg.made.leg, tasks, strides };
    return [scenarioOf(baseName(name), read.value, read.file, of, faults)];
  });
  const hazards = reader.list('.', '.yaml').includes('hazards.yaml')
    ? reader.shaped('hazards.yaml', hazardsSchema)
    : null;
  if (faults.length > 0 || head === null || wearer === null || leg?.made.leg == null) return null;
  if (legName === undefined || wearerName === undefined) return null;

  const w = wearer.value;
  notices.push(head.notice, leg.value.notice, w.notice, controller?.notice);
  const demo =
    notices.some((notice) => notice !== undefined && /demo data/i.test(notice)) ||
    Object.values(leg.value.joints ?? {}).some((j) => catalogue.demo.has(j?.motor.catalogue ?? '')) ||
    Object.values(strides).some((stride) => stride.origin.status === 'demo');
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
    leg: leg.made.leg,
    spreads: leg.made.spreads,
    strides,
    tasks,
    requirements,
    ...(controller?.made && { controller: controller.made }),
    ...(scenarios.length > 0 && { scenarios }),
    ...(catalogue.motors.size > 0 && { catalogue: engineCatalogue(catalogue) }),
  };
  const { files } = reader;
  return { folder, input, legFile: leg.value, legName, wearerName, hazards: hazards?.value ?? [], files };
}

type ReadLeg = Shaped<LegFile> & { readonly made: ReturnType<typeof legOf> };

function readLeg(reader: StudyReader, name: string, catalogue: Catalogue): ReadLeg | null {
  const read = reader.shaped(name, legSchema);
  if (read === null) return null;
  const made = legOf(read.value, read.file, catalogue.motors);
  reader.faults.push(...made.faults);
  return { ...read, made };
}

/** One controller with its fingerprint; `made` is undefined where the reader has collected faults. */
function readController(
  reader: StudyReader,
  id: string,
  faults: FaultData[] = reader.faults,
): { readonly notice: string | undefined; readonly made: StudyController | undefined } {
  const read = reader.shaped(`controllers/${id}.yaml`, controllerSchema);
  if (read === null) return { notice: undefined, made: undefined };
  const tasks = reader.list('tasks', '.yaml').map(baseName);
  const { controller, faults: own } = controllerOf(read.value, read.file, tasks);
  faults.push(...own);
  const { notice } = read.value;
  return {
    notice,
    made: controller === null ? undefined : { id, fingerprint: fingerprint(controller), controller },
  };
}

/** All catalogues of the study as one; a name that stands in two of them is a fault. */
function readMotors(reader: StudyReader, faults: FaultData[]): Catalogue {
  const motors = new Map<string, MotorFile>();
  const thermal = new Map<string, Partial<JointThermal>>();
  const demo = new Set<string>();
  const from = new Map<string, string>();
  for (const name of reader.list('motors', '.csv')) {
    const source = reader.text(name);
    if (source === null) continue;
    const read = readCatalogue(name, source);
    faults.push(...read.faults);
    for (const [motor, values] of read.motors) {
      const other = from.get(motor);
      if (other !== undefined) {
        faults.push({
          code: 'store.motor-catalogue',
          what: `the motor \`${motor}\` stands in ${other} too`,
          mend: 'Rename one of the two: a leg names its motor by this',
          place: { file: name },
        });
      }
      from.set(motor, name);
      motors.set(motor, values);
      thermal.set(motor, read.thermal.get(motor) ?? {});
      if (read.demo.has(motor)) demo.add(motor);
    }
  }
  return { motors, thermal, demo };
}

function sideFault(leg: ReadLeg, wearer: Shaped<z.output<typeof wearerSchema>>, faults: FaultData[]): void {
  if (leg.value.side === 'either' || leg.value.side === wearer.value.side) return;
  faults.push({
    code: 'store.side',
    what: `this leg is for the ${leg.value.side} side, the wearer ${wearer.value.code} needs the ${wearer.value.side}`,
    mend: 'Choose another leg, or write `side: either` where it fits both',
    place: leg.file.place(['side']),
  });
}

/** A file that looks meant but is not read, for its ending. */
function misnamed(reader: StudyReader): void {
  for (const sub of ['.', 'legs', 'wearers', 'tasks', 'controllers', 'scenarios']) {
    for (const name of reader.list(sub, '.yml')) {
      reader.faults.push({
        code: 'store.file-name',
        what: 'a study reads files that end in `.yaml`; this one is not read',
        mend: 'Rename it to end in `.yaml`, or move it away',
        place: { file: name },
      });
    }
  }
}
