import { backDriveMetrics } from './back-drive-metrics.ts';
import { bandwidthMetrics } from './bandwidth-metrics.ts';
import { controlMetrics } from './control-metrics.ts';
import { controllerMetrics } from './controller-metrics.ts';
import { energyMetrics } from './energy-metrics.ts';
import { heatMetrics } from './heat-metrics.ts';
import type { Metric } from './metric.ts';
import { motionMetrics } from './motion-metrics.ts';
import { powerLossMetrics } from './power-loss-metrics.ts';
import { ratioMetrics } from './ratio-metrics.ts';
import { sensorMetrics } from './sensor-metrics.ts';
import { stanceMetrics } from './stance-metrics.ts';
import { swingMetrics } from './swing-metrics.ts';
import { torqueMetrics } from './torque-metrics.ts';

/** Every metric a requirement may name, by topic in the order of the chapters. */
export const metricCatalogue: Readonly<Record<string, Metric>> = {
  ...torqueMetrics,
  ...motionMetrics,
  ...backDriveMetrics,
  ...ratioMetrics,
  ...bandwidthMetrics,
  ...heatMetrics,
  ...energyMetrics,
  ...powerLossMetrics,
  ...controlMetrics,
  ...stanceMetrics,
  ...swingMetrics,
  ...sensorMetrics,
  ...controllerMetrics,
};
