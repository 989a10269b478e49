import { type CompiledController, LIMITS } from './compile-controller.ts';
import { SENSORS } from './controller.ts';

/** One table of the firmware: words of 32 bits, a row at a time where `row` is given. */
export interface FirmwareTable {
  readonly name: string;
  readonly kind: 'float' | 'int32_t';
  readonly values: readonly number[];
  readonly row?: number;
}

/** Largest float32: stands for an end that a condition does not have. */
const FLT_MAX = 3.4028234663852886e38;

/** Tables of a map's own torques. A map without them, as of stance, has noughts. */
const TORQUES = [
  ['knee_held_Nm', 'kneeHeld'],
  ['knee_moved_Nms2', 'kneeMoved'],
  ['ankle_held_Nm', 'ankleHeld'],
  ['ankle_moved_Nms2', 'ankleMoved'],
] as const;

/** All that the firmware knows of a controller, in the order of its checksum; units in the names. */
export function firmwareTables(of: CompiledController): readonly FirmwareTable[] {
  const float = (name: string, values: ArrayLike<number>, row?: number): FirmwareTable => ({
    name,
    kind: 'float',
    values: Array.from(values, (x) => Math.fround(Math.max(-FLT_MAX, Math.min(FLT_MAX, x)))),
    ...(row !== undefined && { row }),
  });
  const int = (name: string, values: ArrayLike<number>): FirmwareTable => ({
    name,
    kind: 'int32_t',
    values: Array.from(values),
  });
  const maps = of.maps.map(({ map }) => map);
  const steps = mapSteps(of) + 1;
  const length = trajectoryLength(of);
  return [
    int('state_map', of.mapOf),
    int('state_safe', of.safeOf),
    int('joint_does', of.kind),
    int('joint_schedule', of.scheduleOf),
    float('joint_stiffness_Nm_per_rad', of.stiffness),
    float('joint_damping_Nms_per_rad', of.damping),
    float('joint_equilibrium_rad', of.equilibrium),
    float('joint_approach_rad_per_tick', of.approach),
    float('joint_carries', of.carries),
    int('transition_first', of.first),
    int('transition_to', of.target),
    int('transition_hold_ticks', of.hold),
    int('transition_after_ticks', of.after),
    int('condition_first', of.conditionFirst),
    int('condition_signal', of.signal),
    float('condition_low', of.low),
    float('condition_high', of.high),
    int('watch_sensor', of.watchSensor),
    int('watch_kind', of.watchKind),
    int('watch_ticks', of.watchTicks),
    int('watch_to', of.watchTo),
    float('watch_limit', of.watchLimit),
    float('watch_low', of.watchLow),
    float('watch_high', of.watchHigh),
    float('joint_limits', of.limits),
    float('joint_wind_up_rad_per_Nm', of.windUp),
    float('joint_unwinds', of.unwinds),
    float('joint_ahead_rad_per_Nm', of.ahead),
    float('joint_apart_rad', of.apart),
    float('joint_copper_W_per_Nm2', of.copper),
    int('schedule_first', of.scheduleFirst),
    float('schedule_at', of.at),
    float('schedule_stiffness_Nm_per_rad', of.scheduleStiffness),
    float('schedule_offset_Nm', of.scheduleOffset),
    float('schedule_damping_Nms_per_rad', of.scheduleDamping),
    float(
      'map_sign',
      of.maps.map(({ sign }) => sign),
    ),
    float(
      'map_scale',
      of.maps.map(({ scale }) => scale),
    ),
    float(
      'map_pace_per_s',
      of.maps.map(({ pace }) => pace),
    ),
    float(
      'map_toe_off',
      maps.map(({ toeOff }) => toeOff),
    ),
    float(
      'map_on_rad',
      maps.map(({ referenceOn }) => referenceOn),
    ),
    float(
      'map_full_rad',
      maps.map(({ full }) => full),
    ),
    float(
      'map_peak_rad',
      maps.map(({ peak }) => peak),
    ),
    float(
      'map_play',
      maps.map(({ play }) => play),
    ),
    float(
      'map_fastest_per_s',
      maps.map(({ fastest }) => fastest),
    ),
    float(
      'map_finish_rate_per_s',
      maps.map(({ finishRate }) => finishRate),
    ),
    float(
      'map_corner',
      maps.map(({ corner }) => corner),
    ),
    float(
      'map_blend',
      maps.map(({ blend }) => blend),
    ),
    float(
      'map_phase',
      maps.flatMap(({ phase }) => [...phase]),
      steps,
    ),
    float(
      'map_bend',
      maps.flatMap(({ bend }) => [...bend]),
      steps,
    ),
    float(
      'map_knee_rad',
      maps.flatMap(({ knee }) => [...knee]),
      length,
    ),
    float(
      'map_ankle_rad',
      maps.flatMap(({ ankle }) => [...ankle]),
      length,
    ),
    float(
      'map_torque_fastest_per_s',
      maps.map(({ torque }) => torque?.fastest ?? 0),
    ),
    ...TORQUES.map(([name, row]) =>
      float(
        `map_${name}`,
        maps.flatMap(({ torque }) => [...(torque?.[row] ?? new Float64Array(length))]),
        length,
      ),
    ),
    ...speedTables(of, steps, length, { float, int }),
  ];
}

type Table<T> = (name: string, values: ArrayLike<number>, row?: number) => T;

/**
 * What goes by speed. Of map p the layers from map_layer_first[p] to map_layer_first[p + 1]; of schedule k likewise, each with as many points
 * as the schedule. All of them empty where nothing does; of a map or schedule that does not go by speed the two are equal.
 */
function speedTables<T>(
  { bySpeed, maps, scheduleFirst }: CompiledController,
  steps: number,
  length: number,
  { float, int }: { readonly float: Table<T>; readonly int: Table<T> },
): readonly T[] {
  const stacks = bySpeed?.maps ?? maps.map(() => []);
  const carried = stacks.flat();
  const schedules = bySpeed?.schedules ?? Array.from(scheduleFirst.subarray(1), () => []);
  const layers = schedules.flat();
  const walk = bySpeed?.walk;
  const slope = bySpeed?.slope;
  const each = (name: string, value: (layer: (typeof carried)[number]['of']) => number): T =>
    float(
      name,
      carried.map(({ of }) => value(of)),
    );
  const rows = (name: string, value: (layer: (typeof layers)[number]['of']) => Float64Array): T =>
    float(
      name,
      layers.flatMap(({ of }) => [...value(of)]),
    );
  return [
    int('map_layer_first', firsts(stacks)),
    float(
      'map_layer_speed_m_per_s',
      carried.map(({ speed }) => speed),
    ),
    each('map_layer_scale', ({ scale }) => scale),
    each('map_layer_pace_per_s', ({ pace }) => pace),
    each('map_layer_toe_off', ({ map }) => map.toeOff),
    each('map_layer_on_rad', ({ map }) => map.referenceOn),
    each('map_layer_full_rad', ({ map }) => map.full),
    each('map_layer_peak_rad', ({ map }) => map.peak),
    each('map_layer_play', ({ map }) => map.play),
    each('map_layer_fastest_per_s', ({ map }) => map.fastest),
    each('map_layer_finish_rate_per_s', ({ map }) => map.finishRate),
    each('map_layer_corner', ({ map }) => map.corner),
    each('map_layer_blend', ({ map }) => map.blend),
    float(
      'map_layer_phase',
      carried.flatMap(({ of: { map } }) => [...map.phase]),
      steps,
    ),
    float(
      'map_layer_bend',
      carried.flatMap(({ of: { map } }) => [...map.bend]),
      steps,
    ),
    float(
      'map_layer_knee_rad',
      carried.flatMap(({ of: { map } }) => [...map.knee]),
      length,
    ),
    float(
      'map_layer_ankle_rad',
      carried.flatMap(({ of: { map } }) => [...map.ankle]),
      length,
    ),
    each('map_layer_torque_fastest_per_s', ({ map }) => map.torque?.fastest ?? 0),
    ...TORQUES.map(([name, row]) =>
      float(
        `map_layer_${name}`,
        carried.flatMap(({ of: { map } }) => [...(map.torque?.[row] ?? new Float64Array(length))]),
        length,
      ),
    ),
    int('schedule_layer_first', firsts(schedules)),
    float(
      'schedule_layer_speed_m_per_s',
      layers.map(({ speed }) => speed),
    ),
    int(
      'schedule_layer_at',
      layers.map((_, k) => layers.slice(0, k).reduce((sum, { of }) => sum + of.stiffness.length, 0)),
    ),
    rows('schedule_layer_stiffness_Nm_per_rad', ({ stiffness }) => stiffness),
    rows('schedule_layer_offset_Nm', ({ offset }) => offset),
    rows('schedule_layer_damping_Nms_per_rad', ({ damping }) => damping),
    float('sole_points_m', walk?.sole ?? []),
    float(
      'speed_numbers',
      bySpeed === undefined || walk === undefined
        ? []
        : [
            ...[bySpeed.start, bySpeed.change, bySpeed.loaded, bySpeed.unloaded],
            ...[bySpeed.ends.low, bySpeed.ends.high, walk.thigh, walk.shank],
            ...[walk.flat.pitch, walk.flat.perSpeed, walk.flat.centre],
            ...[walk.speeds.from, walk.speeds.to, walk.inclines.from, walk.inclines.to],
          ],
    ),
    float(
      'slope_numbers',
      slope === undefined ? [] : [slope.from, slope.to, slope.level, slope.share, slope.change],
    ),
  ];
}

/** Where each owner's layers begin, and where the last end. */
function firsts(stacks: readonly (readonly unknown[])[]): number[] {
  const first = [0];
  for (const layers of stacks) first.push(first[first.length - 1] + layers.length);
  return first;
}

/** Points of the longest schedule. */
const mostPoints = ({ scheduleFirst }: CompiledController): number =>
  Math.max(2, ...Array.from(scheduleFirst.subarray(1), (end, k) => end - scheduleFirst[k]));

const mapSteps = ({ maps }: CompiledController): number => (maps[0]?.map.phase.length ?? 2) - 1;
const trajectoryLength = ({ maps }: CompiledController): number => maps[0]?.map.knee.length ?? 2;

/**
 * CRC-32 of the tables' words in their order, each word from its least byte, as firmware finds them in memory.
 * Polynomial 0xEDB88320 reflected, start and end inverted: ISO/IEC 8802-3, as in zlib.
 */
export function firmwareChecksum(tables: readonly FirmwareTable[]): number {
  const bits = new DataView(new ArrayBuffer(4));
  let crc = 0xffffffff;
  for (const { kind, values } of tables)
    for (const value of padded(values)) {
      if (kind === 'float') bits.setFloat32(0, value);
      else bits.setInt32(0, value);
      crc ^= bits.getUint32(0);
      for (let k = 0; k < 32; k++) crc = (crc >>> 1) ^ (crc & 1 ? 0xedb88320 : 0);
    }
  return (crc ^ 0xffffffff) >>> 0;
}

/** C has no empty arrays. */
const padded = (values: readonly number[]): readonly number[] => (values.length === 0 ? [0] : values);

/** `sizes.h`: how long everything is, and names for the numbers of states and faults. */
export function firmwareSizes(of: CompiledController): string {
  const define = (name: string, value: number): string => `#define ${name} ${value}`;
  const named = (prefix: string, names: readonly string[], from: number): string[] =>
    names.map((name, k) => define(`${prefix}${name.toUpperCase().replace(/[^A-Z0-9]+/g, '_')}`, k + from));
  return [
    '#ifndef SIZES_H',
    '#define SIZES_H',
    '',
    define('CTL_SENSORS', SENSORS.length),
    define('CTL_STATES', of.states.length),
    define('CTL_INITIAL_STATE', of.initial),
    define('CTL_TRANSITIONS', Math.max(1, of.target.length)),
    define('CTL_WATCHES', Math.max(1, of.watches.length)),
    define('CTL_WATCH_COUNT', of.watches.length),
    define('CTL_MAP_STEPS', mapSteps(of)),
    define('CTL_TRAJECTORY', trajectoryLength(of)),
    define('CTL_LAW_POINTS', mostPoints(of)),
    define('CTL_BY_SPEED', of.bySpeed === undefined ? 0 : 1),
    define('CTL_SLOPE_HOLD', of.bySpeed?.slope?.hold ?? 0),
    define('CTL_SOLE_POINTS', (of.bySpeed?.walk.sole.length ?? 2) / 2),
    '',
    '/* ctl_output.state */',
    ...named('CTL_STATE_', of.states, 0),
    '',
    '/* ctl_output.fault and ctl_output.warning */',
    ...named('CTL_FAULT_', of.watches, 1),
    '',
    '#endif',
    '',
  ].join('\n');
}

/** A float32 in as many digits as bring it back. */
const single = (x: number): string => `${x.toExponential(8)}f`;

/** `tables.h`: every number, its range beside it, and the checksum of them all. */
export function firmwareTableText(
  of: CompiledController,
  about: { readonly controller: string; readonly build: string },
): string {
  const tables = firmwareTables(of);
  const define = ({ name, kind, values, row }: FirmwareTable): string => {
    const shown = padded(values).map((x) => (kind === 'float' ? single(x) : String(x)));
    const range =
      values.length === 0
        ? 'not used'
        : `${values.reduce((a, b) => Math.min(a, b))} ... ${values.reduce((a, b) => Math.max(a, b))}`;
    const chunks = (size: number): string[][] =>
      Array.from({ length: Math.ceil(shown.length / size) }, (_, k) => shown.slice(k * size, (k + 1) * size));
    const body =
      row !== undefined && values.length > 0
        ? chunks(row).map((cells) => `    {${cells.join(', ')}}`)
        : row !== undefined
          ? ['    {0.0f}']
          : chunks(8).map((cells) => `    ${cells.join(', ')}`);
    return `/* ${range} */\nstatic const ${kind} ${name}[]${row === undefined ? '' : `[${row}]`} = {\n${body.join(',\n')}};`;
  };
  return [
    '#ifndef TABLES_H',
    '#define TABLES_H',
    '',
    `static const float period_s = ${single(of.period)};`,
    `static const float filter_pole = ${single(of.filterPole)};`,
    '',
    `/* joint_limits: knee, then ankle, ${LIMITS} each: torque N m, from rad, to rad, margin rad, fade speed rad/s, speed rad/s,`,
    ' * warm K, hot K, returned W, fade bus V, bus V, slew N m a tick. Loads in conditions and watches are N, angles rad, temperatures K.',
    ' * speed_numbers: start m/s, most change m/s, loaded above N, until below N, slowest m/s, fastest m/s, thigh m, shank m, pitch of a flat',
    ' * foot rad, more per m/s rad s/m, beyond m/s, readable from m/s, to m/s, slopes from rad, to rad. slope_numbers: from rad, to rad, level up',
    ' * to rad, share of a reading, most change rad. */',
    '',
    ...tables.flatMap((table) => [define(table), '']),
    'typedef struct {',
    '  const void *words;',
    '  uint32_t count;',
    '} ctl_table;',
    `#define CTL_TABLES ${tables.length}u`,
    'static const ctl_table ctl_tables[] = {',
    tables
      .map(({ name, values, row }) => {
        const words = values.length === 0 && row !== undefined ? '1u' : `(uint32_t)(sizeof ${name} / 4u)`;
        return `    {${name}, ${words}}`;
      })
      .join(',\n'),
    '};',
    '',
    `const uint32_t ctl_stated_checksum = 0x${firmwareChecksum(tables).toString(16).padStart(8, '0')}u;`,
    `const char ctl_controller[65] = "${about.controller}";`,
    `const char ctl_build[65] = "${about.build}";`,
    '',
    '#endif',
    '',
  ].join('\n');
}
