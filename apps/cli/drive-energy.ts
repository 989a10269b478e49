import { evaluateDesign, legEnergy } from '@striderule/engine';
import { energyText, energyVerdict } from './energy-table.ts';
import { heading } from './heading.ts';
import { json, out, strong } from './print.ts';
import { chosenTasks, readStudy } from './study-read.ts';
import type { Values } from './values.ts';

/** `drive energy`: what each task draws from the pack, where it goes, what limits charging, and how far one charge goes. */
export async function driveEnergy(values: Values): Promise<number> {
  const { input } = await readStudy(values);
  const chosen = chosenTasks(input, values.task).map(({ id }) => id);
  const energy = legEnergy(input, evaluateDesign(input));
  if (values.json) {
    out(
      json({
        study: input.name,
        demo: input.demo,
        units:
          'SI: J, W, V, A (motors peak phase), s, m, rad/s; out of the pack positive; null where not known, "Infinity" where nothing is asked',
        ...('openBecause' in energy
          ? energy
          : { ...energy, tasks: energy.tasks.filter(({ id }) => chosen.includes(id)) }),
      }),
    );
  } else {
    const one = values.task === undefined ? undefined : chosen[0];
    out(`${strong(energyVerdict(energy))}\n${heading(input)}\n\n${energyText(energy, one)}`);
  }
  return 0;
}
