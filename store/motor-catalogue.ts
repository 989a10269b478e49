// motors/*.csv: one motor a row. First lines may be comments (#). The header names each column with its unit in brackets, such as
// `flux_linkage [mV*s]`; `torque_constant [..]` needs a column `convention` beside it. An empty cell is unknown. The last five are the
// heat path of the motor in a housing of its own: a leg file gives the joint's, these serve where another motor is tried in its place.
import {
  type FaultData,
  type JointThermal,
  type Kind,
  type MotorCatalogue,
  nearestName,
  parseQuantity,
} from '@striderule/engine';
import type { MotorFile } from './joint-schema.ts';
import { lacking, motorOf } from './motor-of.ts';
import type { Quantity } from './quantity-field.ts';

/** What a column may hold: above zero unless it says otherwise. */
interface Column {
  readonly key: keyof MotorFile | keyof JointThermal;
  readonly kind: Kind;
  readonly may?: 'zero' | 'minus';
}

const COLUMNS: Readonly<Record<string, Column>> = {
  flux_linkage: { key: 'fluxLinkage', kind: 'flux linkage' },
  resistance: { key: 'resistance', kind: 'resistance' },
  reference_temperature: { key: 'referenceTemperature', kind: 'temperature' },
  inductance_d: { key: 'inductanceD', kind: 'inductance' },
  inductance_q: { key: 'inductanceQ', kind: 'inductance' },
  rotor_inertia: { key: 'rotorInertia', kind: 'moment of inertia' },
  saturation_current: { key: 'saturationCurrent', kind: 'current' },
  peak_current: { key: 'peakCurrent', kind: 'current' },
  continuous_torque: { key: 'continuousTorque', kind: 'torque' },
  mass: { key: 'mass', kind: 'mass' },
  coulomb_drag: { key: 'coulombDrag', kind: 'torque', may: 'zero' },
  viscous_drag: { key: 'viscousDrag', kind: 'rotational damping', may: 'zero' },
  breakaway_drag: { key: 'breakawayDrag', kind: 'torque', may: 'zero' },
  magnet_coefficient: { key: 'magnetCoefficient', kind: 'temperature coefficient', may: 'minus' },
  copper_coefficient: { key: 'copperCoefficient', kind: 'temperature coefficient' },
  winding_to_housing: { key: 'windingToHousing', kind: 'thermal resistance' },
  housing_to_ambient: { key: 'housingToAmbient', kind: 'thermal resistance' },
  winding_capacity: { key: 'windingCapacity', kind: 'heat capacity' },
  housing_capacity: { key: 'housingCapacity', kind: 'heat capacity' },
  winding_limit: { key: 'windingLimit', kind: 'temperature' },
};
const THERMAL = [
  'windingToHousing',
  'housingToAmbient',
  'windingCapacity',
  'housingCapacity',
  'windingLimit',
] as const;
const PLAIN = ['name', 'pole_pairs', 'torque_constant', 'convention'];
const CONVENTIONS = ['perPhasePeak', 'perPhaseRms', 'dcEquivalent'];

/** Motors by name, what is known of the heat of each, and which of them are invented. */
export interface Catalogue {
  readonly motors: ReadonlyMap<string, MotorFile>;
  /** SI. */
  readonly thermal: ReadonlyMap<string, Partial<JointThermal>>;
  readonly demo: ReadonlySet<string>;
}

/** Reads one catalogue; a comment that says "demo data" marks its motors. Every fault with file, line and column of the cell. */
export function readCatalogue(name: string, text: string): Catalogue & { faults: FaultData[] } {
  const faults: FaultData[] = [];
  const motors = new Map<string, MotorFile>();
  const thermal = new Map<string, Partial<JointThermal>>();
  const demo = new Set<string>();
  const lines = text.split(/\r?\n/);
  const headAt = lines.findIndex((line) => line.trim() !== '' && !line.startsWith('#'));
  const fault = (line: number, cell: number, what: string, mend: string) => {
    const excerpt = lines[line] ?? '';
    const column = excerpt.split(',').slice(0, cell).join(',').length + (cell > 0 ? 2 : 1);
    faults.push({
      code: 'store.motor-catalogue',
      what,
      mend,
      place: { file: name, line: line + 1, column, excerpt },
    });
  };
  if (headAt < 0)
    return {
      motors,
      thermal,
      demo,
      faults: [
        {
          code: 'store.motor-catalogue',
          what: 'the catalogue is empty',
          mend: 'Give it a header and a row a motor',
          place: { file: name },
        },
      ],
    };
  const invented = lines.some((line) => line.startsWith('#') && /demo data/i.test(line));
  const head = lines[headAt]!.split(',').map((cell) => /^([a-z_]+)\s*(?:\[(.*)\])?$/.exec(cell.trim()));
  const columns = head.map((match, i) => {
    const column = match?.[1] ?? '';
    if (!Object.hasOwn(COLUMNS, column) && !PLAIN.includes(column)) {
      const near = nearestName(column, [...Object.keys(COLUMNS), ...PLAIN]);
      fault(
        headAt,
        i,
        `\`${lines[headAt]!.split(',')[i]!.trim()}\` is not a column of a motor catalogue`,
        near ? `Did you mean \`${near}\`?` : `Use: ${[...PLAIN, ...Object.keys(COLUMNS)].join(', ')}`,
      );
    }
    return { column, unit: match?.[2] ?? '' };
  });
  for (const column of ['name', 'pole_pairs']) {
    if (!columns.some((c) => c.column === column))
      fault(headAt, 0, `there is no column \`${column}\``, `Add a column \`${column}\``);
  }
  columns.forEach(({ column }, i) => {
    if (columns.findIndex((c) => c.column === column) < i)
      fault(headAt, i, `there are two columns \`${column}\``, 'Keep one of them');
  });
  if (
    columns.some((c) => c.column === 'torque_constant') &&
    !columns.some((c) => c.column === 'convention')
  ) {
    fault(
      headAt,
      columns.findIndex((c) => c.column === 'torque_constant'),
      'a torque constant without its convention is not a constant',
      `Add a column \`convention\` with ${CONVENTIONS.join(', ')}`,
    );
  }
  if (faults.length > 0) return { motors, thermal, demo, faults };
  lines.forEach((line, at) => {
    if (at <= headAt || line.trim() === '' || line.startsWith('#')) return;
    const cells = line.split(',').map((cell) => cell.trim());
    if (cells.length !== columns.length) {
      fault(
        at,
        0,
        `this row has ${cells.length} cells, the header ${columns.length}`,
        'Give every column a cell; leave it empty where unknown',
      );
      return;
    }
    const before = faults.length;
    const motor: Record<string, unknown> = {};
    const heat: Record<string, number> = {};
    let constant: Quantity | undefined;
    let motorName = '';
    columns.forEach(({ column, unit }, i) => {
      const cell = cells[i]!;
      if (cell === '') return;
      if (column === 'name') motorName = cell;
      else if (column === 'convention') {
        if (!CONVENTIONS.includes(cell))
          fault(
            at,
            i,
            `\`${cell}\` is not a torque-constant convention`,
            `Use one of: ${CONVENTIONS.join(', ')}`,
          );
        else motor.convention = cell;
      } else if (column === 'pole_pairs') {
        if (/^[1-9]\d*$/.test(cell)) motor.polePairs = Number(cell);
        else fault(at, i, `\`${cell}\` is not a number of pole pairs`, 'Write a whole number above zero');
      } else {
        const kind = column === 'torque_constant' ? 'torque constant' : COLUMNS[column]!.kind;
        const parsed = parseQuantity(`${cell} ${unit}`, kind);
        if (!('si' in parsed)) fault(at, i, parsed.what, parsed.mend);
        else if (!allowed(parsed.si, COLUMNS[column]?.may))
          fault(
            at,
            i,
            `\`${cell}\` must be ${COLUMNS[column]?.may === 'zero' ? 'zero or more' : 'above zero'}`,
            'Correct the value, or leave the cell empty',
          );
        else if (column === 'torque_constant') constant = { si: parsed.si, basis: 'designed' };
        else if ((THERMAL as readonly string[]).includes(COLUMNS[column]!.key))
          heat[COLUMNS[column]!.key] = parsed.si;
        else motor[COLUMNS[column]!.key] = { si: parsed.si, basis: 'designed' } satisfies Quantity;
      }
    });
    const { convention, ...rest } = motor;
    if (motorName === '') fault(at, 0, 'this motor has no name', 'Give it one in the column `name`');
    if (motors.has(motorName))
      fault(at, 0, `the motor \`${motorName}\` stands further up already`, 'Rename one of the two');
    if (constant !== undefined && convention === undefined) {
      fault(
        at,
        columns.findIndex((c) => c.column === 'convention'),
        'a torque constant without its convention is not a constant',
        `Write one of: ${CONVENTIONS.join(', ')}`,
      );
    }
    if (faults.length > before) return;
    if (invented) demo.add(motorName);
    thermal.set(motorName, heat);
    motors.set(motorName, {
      ...rest,
      ...(constant && { torqueConstant: { value: constant, convention } }),
    } as MotorFile);
  });
  return { motors, thermal, demo, faults };
}

const allowed = (value: number, may: Column['may']): boolean =>
  may === 'minus' || value > 0 || (may === 'zero' && value === 0);

/** Name of a motor's field as a catalogue heads its column. */
const columnOf = (key: string): string =>
  Object.keys(COLUMNS).find((column) => COLUMNS[column]!.key === key) ?? 'pole_pairs';

/**
 * The catalogue as the engine tries its motors: those whole enough to calculate with, and of the others which columns they lack. A heat
 * path counts only whole; without one nothing is said of a motor's heat.
 */
export function engineCatalogue({ motors, thermal }: Catalogue): MotorCatalogue {
  const whole: MotorCatalogue['motors'][number][] = [];
  const leftOut: MotorCatalogue['leftOut'][number][] = [];
  for (const [name, motor] of motors) {
    const lacks = lacking(motor).map(columnOf);
    if ((motor.fluxLinkage === undefined) === (motor.torqueConstant === undefined))
      lacks.push('one of flux_linkage and torque_constant');
    if (lacks.length > 0) {
      leftOut.push({ name, lacks });
      continue;
    }
    const heat = thermal.get(name);
    whole.push({
      motor: motorOf(motor, name, '', ({ si }, _, factor = 1) => si * factor),
      ...(heat !== undefined &&
        THERMAL.every((key) => heat[key] !== undefined) && { thermal: heat as JointThermal }),
    });
  }
  return { motors: whole, leftOut };
}
