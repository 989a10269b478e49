import { type FaultData, THIGH_SENSOR_LIMITS } from '@striderule/engine';
import type { LegFile } from './leg-schema.ts';
import { planetaryTeeth } from './planetary-of.ts';
import type { Quantity } from './quantity-field.ts';
import type { YamlFile } from './yaml-file.ts';

/** How far a parts list may miss its segment's mass. */
const MASS_BUDGET_TOLERANCE = 0.01;
/** How far the stages' product may miss the ratio: both are typed to three or four digits. */
const RATIO_TOLERANCE = 1e-3;

/** What fields of a leg file say together, and one by one they cannot: each fault stands at the value that is the odd one out. */
export function legFaults(leg: LegFile, file: YamlFile): FaultData[] {
  const faults: FaultData[] = [];
  const fault = (code: string, path: PropertyKey[], what: string, mend: string) =>
    faults.push({ code: `store.${code}`, what, mend, place: file.place(path) });
  massBudget();
  for (const joint of ['knee', 'ankle'] as const) {
    stages(joint);
    softStop(joint);
    lossOfPower(joint);
    heat(joint);
  }
  sole();
  bus();
  thighSensor();
  return faults;

  /** The parts of each segment add up to its mass within 1 %. */
  function massBudget(): void {
    if (leg.massBudget === undefined) return;
    for (const name of ['thighPart', 'shank', 'foot'] as const) {
      const parts = leg.massBudget.filter((part) => part.segment === name);
      const sum = parts.reduce((total, part) => total + part.mass.si, 0);
      const whole = leg.segments[name].mass.si;
      if (Math.abs(sum - whole) <= MASS_BUDGET_TOLERANCE * whole) continue;
      fault(
        'mass-budget',
        ['segments', name, 'mass'],
        `the parts of \`${name}\` sum to ${sum.toFixed(3)} kg, the segment is ${whole.toFixed(3)} kg`,
        'Correct a part or the segment: they must agree within 1 %',
      );
    }
  }

  function stages(joint: 'knee' | 'ankle'): void {
    const t = leg.joints?.[joint]?.transmission;
    if (t?.stages === undefined) return;
    for (const [k, stage] of t.stages.entries()) {
      const teeth = planetaryTeeth(stage);
      if (teeth === undefined) continue;
      const made = 1 + teeth.ring / teeth.sun;
      if (Math.abs(made / stage.ratio.si - 1) <= RATIO_TOLERANCE) continue;
      fault(
        'stage-teeth',
        ['joints', joint, 'transmission', 'stages', k, 'teeth'],
        `a sun of ${teeth.sun} and a ring of ${teeth.ring} teeth make ${made.toFixed(3)}, the stage’s ratio is ${stage.ratio.si}`,
        'Correct the teeth or the ratio: 1 + ring ÷ sun, driven at the sun, ring held',
      );
    }
    const product = t.stages.reduce((x, stage) => x * stage.ratio.si, 1);
    if (Math.abs(product / t.ratio.si - 1) <= RATIO_TOLERANCE) return;
    fault(
      'stages',
      ['joints', joint, 'transmission', 'ratio'],
      `the stages multiply to ${product.toFixed(3)}, the ratio is ${t.ratio.si}`,
      'Make them agree',
    );
  }

  /** A soft stop lies inside the range that the hard stop ends. */
  function softStop(joint: 'knee' | 'ankle'): void {
    const j = leg.joints?.[joint];
    const soft = j?.endStop?.soft;
    if (j === undefined || soft === undefined) return;
    if (soft.from.si >= j.range.from.si && soft.to.si <= j.range.to.si) return;
    fault(
      'soft-stop',
      ['joints', joint, 'endStop', 'soft'],
      `the soft stop of the ${joint} begins outside its range of motion`,
      'Put it inside `range:`',
    );
  }

  function lossOfPower(joint: 'knee' | 'ankle'): void {
    const cut = leg.joints?.[joint]?.electronics.lossOfPower;
    const path = ['joints', joint, 'electronics', 'lossOfPower'];
    if (cut?.phases === 'shortedThrough' && cut.resistance === undefined)
      fault('missing', path, 'phases shorted through a resistor say no resistance', 'Add `resistance:`');
    if (cut !== undefined && cut.phases !== 'shortedThrough' && cut.resistance !== undefined) {
      fault(
        'loss-of-power',
        [...path, 'resistance'],
        `\`${cut.phases}\` phases have no resistor`,
        'Write `phases: shortedThrough`, or delete the resistance',
      );
    }
  }

  /** Heat flows out only while winding and housing may be warmer than the air. */
  function heat(joint: 'knee' | 'ankle'): void {
    const [thermal, air] = [leg.joints?.[joint]?.thermal, leg.ambientTemperature];
    if (thermal === undefined || air === undefined) return;
    for (const name of ['windingLimit', 'surfaceLimit'] as const) {
      const limit = thermal[name];
      if (limit === undefined || limit.si > air.si) continue;
      fault(
        'temperature-limit',
        ['joints', joint, 'thermal', name],
        `\`${name}\` is not above the air around the leg`,
        'Correct it, or `ambientTemperature:`',
      );
    }
  }

  function sole(): void {
    leg.foot.sole.forEach(({ x }, i) => {
      const before = leg.foot.sole[i - 1];
      if (before !== undefined && !(x.si > before.x.si)) {
        fault(
          'sole',
          ['foot', 'sole', i, 'x'],
          'this point of the sole does not lie ahead of the one before',
          'List the points from heel to toe',
        );
      }
    });
  }

  function bus(): void {
    const b = leg.bus;
    if (leg.joints !== undefined && b === undefined) {
      fault('missing', ['bus'], 'a leg with motors has no bus', 'Add `bus:` with at least `nominalVoltage:`');
    }
    if (b === undefined) return;
    const above = (name: PropertyKey[], value: Quantity | undefined, over: Quantity, words: string) => {
      if (value !== undefined && !(value.si > over.si))
        fault('bus-voltage', ['bus', ...name], words, 'Correct one of the two');
    };
    const { nominalVoltage, brakeResistor, overVoltage } = b;
    above(
      ['overVoltage'],
      overVoltage,
      nominalVoltage,
      'the over-voltage limit is not above the nominal voltage',
    );
    const threshold = brakeResistor?.threshold;
    above(
      ['brakeResistor', 'threshold'],
      threshold,
      nominalVoltage,
      'the brake resistor switches on below the nominal voltage',
    );
    if (threshold !== undefined) {
      above(
        ['overVoltage'],
        overVoltage,
        threshold,
        'the over-voltage limit is reached before the brake resistor switches on',
      );
    }
    const rising = (name: 'dischargeLimit' | 'chargeLimit' | 'openCircuit', values: readonly number[]) => {
      values.forEach((x, i) => {
        if (i > 0 && !(x > values[i - 1]!))
          fault(
            'not-rising',
            ['bus', name, i],
            'this entry does not rise above the one before',
            'Sort the list',
          );
      });
    };
    for (const name of ['dischargeLimit', 'chargeLimit'] as const) {
      const limit = b[name];
      if (Array.isArray(limit))
        rising(
          name,
          limit.map((entry) => entry.temperature.si),
        );
    }
    rising(
      'openCircuit',
      (b.openCircuit ?? []).map((entry) => entry.charge.si),
    );
  }

  /** What no thigh sensor is: the engine's own line, told here at the field. */
  function thighSensor(): void {
    const sensor = leg.thighSensor;
    if (sensor === undefined) return;
    const { rate, delay } = THIGH_SENSOR_LIMITS;
    const at = (field: string, what: string, mend: string) =>
      fault('thigh-sensor', ['thighSensor', field], what, mend);
    if (sensor.rate.si < rate)
      at(
        'rate',
        `a thigh read ${sensor.rate.si} times a second is too slow for a swing`,
        `Give at least ${rate} Hz`,
      );
    if (sensor.delay !== undefined && sensor.delay.si > delay)
      at(
        'delay',
        `a thigh read ${sensor.delay.si} s late is no sensor’s delay`,
        `Give at most ${delay} s, and look at the unit`,
      );
  }
}
