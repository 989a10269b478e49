import { fixed } from '../show/number.ts';
import { alongWords, placeText } from './along.ts';
import type { Along, RuleModel, Scale } from './scale.ts';

function extremes(along: Along, scale: Scale): string {
  if (scale.gap !== undefined) return `${scale.name}: ${scale.gap}`;
  const parts = scale.series
    .filter(({ weight }) => weight === 'main')
    .map(({ values, label }) => {
      let [low, high] = [0, 0];
      for (let i = 0; i < values.length; i++) {
        if ((values[i] ?? 0) < (values[low] ?? 0)) low = i;
        if ((values[i] ?? 0) > (values[high] ?? 0)) high = i;
      }
      const at = (i: number) =>
        `${fixed(values[i], scale.decimals)} at ${placeText(along, (100 * i) / (values.length - 1))}`;
      return `${label === '' || label === 'this leg' ? '' : `${label} `}from ${at(low)} to ${at(high)}`;
    });
  return `${scale.name}, ${scale.unit}, ${scale.note}: ${parts.join('; ')}`;
}

/** The rule in words. */
export const ruleSummary = (model: RuleModel): string =>
  `${model.title} ${alongWords(model)}. ${model.scales.map((scale) => extremes(model, scale)).join('. ')}.`;
