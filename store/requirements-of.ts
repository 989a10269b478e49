import {
  catalogueEntry,
  type FaultData,
  isWalked,
  metricNames,
  nearestName,
  parseQuantity,
  type Requirement,
} from '@striderule/engine';
import type { z } from 'zod';
import type { requirementsSchema } from './study-schemas.ts';
import type { YamlFile } from './yaml-file.ts';

/** The engine's requirements of requirements.yaml: metric and task must exist, the bound must fit the metric. */
export function requirementsOf(
  list: z.output<typeof requirementsSchema>,
  file: YamlFile,
  tasks: readonly string[],
  faults: FaultData[],
): Requirement[] {
  return list.flatMap((r, i): Requirement[] => {
    if (list.findIndex((other) => other.id === r.id) < i) {
      faults.push({
        code: 'store.same-id',
        what: `a requirement \`${r.id}\` stands further up already`,
        mend: 'Give each requirement a name of its own',
        place: file.place([i, 'id']),
      });
    }
    const metric = catalogueEntry(r.metric);
    if (metric === undefined) {
      const near = nearestName(r.metric, metricNames);
      faults.push({
        code: 'store.unknown-metric',
        what: `There is no metric \`${r.metric}\``,
        mend: near ? `Did you mean \`${near}\`?` : `Use one of: ${metricNames.join(', ')}`,
        place: file.place([i, 'metric']),
      });
      return [];
    }
    if (metric.only === 'leg' && r.joint !== undefined) {
      faults.push({
        code: 'store.joint-of-leg',
        what: `\`${r.metric}\` is of the whole leg, not of its ${r.joint}`,
        mend: 'Leave `joint:` out',
        place: file.place([i, 'joint']),
      });
      return [];
    }
    if (metric.only === undefined && r.joint === undefined) {
      faults.push({
        code: 'store.no-joint',
        what: `\`${r.id}\` does not say of which joint`,
        mend: 'Add `joint: knee` or `joint: ankle`',
        place: file.place([i]),
      });
      return [];
    }
    const walked = isWalked(r.metric);
    const misplaced = walked ? (['task'] as const) : (['speed', 'thigh', 'control'] as const);
    const given = misplaced.find((key) => r[key] !== undefined);
    if (given !== undefined) {
      faults.push({
        code: 'store.walk-field',
        what: walked
          ? `\`${r.metric}\` is judged by a walk, which goes at a speed and does no task`
          : `\`${r.metric}\` is not judged by a walk, and has no \`${given}\``,
        mend: walked ? 'Give `speed:` in its place' : `Leave \`${given}:\` out`,
        place: file.place([i, given]),
      });
      return [];
    }
    if (r.task !== undefined && !tasks.includes(r.task)) {
      const near = nearestName(r.task, tasks);
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
        ...(r.speed && { speed: r.speed.si }),
        ...(r.thigh && { thigh: r.thigh }),
        ...(r.control && { control: r.control }),
        bound: { kind: key === 'atMost' ? 'at most' : 'at least', value: parsed.si },
        because: r.because,
      },
    ];
  });
}
