import type { CatalogueEntry } from './metric.ts';
import { metricCatalogue } from './metrics.ts';
import { isWalked, walkMetrics } from './walk-metrics.ts';

/** Every name that a requirement may give its metric: worked out from the design first, then judged by a walk. */
export const metricNames: readonly string[] = [...Object.keys(metricCatalogue), ...Object.keys(walkMetrics)];

/** What the catalogue says of a metric, however it is known; undefined where there is none of that name. */
export function catalogueEntry(name: string): CatalogueEntry | undefined {
  if (Object.hasOwn(metricCatalogue, name)) return metricCatalogue[name];
  return isWalked(name) ? walkMetrics[name] : undefined;
}
