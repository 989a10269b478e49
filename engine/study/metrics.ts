import { backDriveMetrics } from './back-drive-metrics.ts';
import { bandwidthMetrics } from './bandwidth-metrics.ts';
import { energyMetrics } from './energy-metrics.ts';
import { heatMetrics } from './heat-metrics.ts';
import type { Metric } from './metric.ts';
import { motionMetrics } from './motion-metrics.ts';
import { powerLossMetrics } from './power-loss-metrics.ts';
import { ratioMetrics } from './ratio-metrics.ts';
import { stanceMetrics } from './stance-metrics.ts';
import { swingMetrics } from './swing-metrics.ts';
import { torqueMetrics } from './torque-metrics.ts';

/** Every metric a requirement may name, by topic in the order of the chapters on drive and control. */
export const metricCatalogue: Readonly<Record<string, Metric>> = {
  ...torqueMetrics,
  ...motionMetrics,
  ...backDriveMetrics,
  ...ratioMetrics,
  ...bandwidthMetrics,
  ...heatMetrics,
  ...energyMetrics,
  ...powerLossMetrics,
  ...stanceMetrics,
  ...swingMetrics,
  renderedStiffness: {
    title: 'Largest stable rendered stiffness',
    kind: 'rotational stiffness',
    unit: 'N·m/rad',
    formula: 'of the sampled loop with delay and current bandwidth',
    chapter: 'evidence.md#the-line',
    reads: [],
    cautions: [],
    value: () => ({
      openBecause: 'not predicted yet: it needs the controller, which comes with the control stage',
    }),
  },
};
