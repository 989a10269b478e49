import { STRIDE_SAMPLES } from './demand-result.ts';
import type { ChannelName } from './recipe.ts';
import { type Channel, columnName } from './recording-channels.ts';
import type { Finding } from './recording-check.ts';

/**
 * A feature that a column shows in walking, stairs and running alike, as a share of its own size: positive as it should be.
 * `mean`: mean over a window. `fall`: value at the first place minus value at the second. Places are shares of stance
 * (0–1) and, beyond 1, of swing (1–2). Known from any gait text, thresholds ours: COMMON PRACTICE.
 */
interface Feature {
  readonly of: (at: (place: number) => number) => number;
  readonly words: string;
  /** A feature that some people lack is shown, never refused. */
  readonly firm: boolean;
}

const over = (at: (place: number) => number, from: number, to: number): number => {
  const places = 21;
  let sum = 0;
  for (let i = 0; i < places; i++) sum += at(from + ((to - from) * i) / (places - 1));
  return sum / places;
};

const FEATURES: { readonly [name in ChannelName]?: Feature } = {
  'ankle.moment': {
    of: (at) => -over(at, 0.6, 0.9),
    words: 'is plantarflexor in late stance',
    firm: true,
  },
  'ankle.angle': {
    of: (at) => at(0.75) - at(1.04),
    words: 'turns to plantarflexion from mid-stance to toe-off',
    firm: true,
  },
  'knee.angle': {
    of: (at) => over(at, 1, 1.6) - at(2),
    words: 'flexes in swing',
    firm: true,
  },
  'hip.angle': {
    of: (at) => at(0) - at(0.85),
    words: 'extends from initial contact to late stance',
    firm: true,
  },
  'thigh.angle': {
    of: (at) => at(0) - at(0.85),
    words: 'turns backward from initial contact to late stance',
    firm: true,
  },
  'knee.moment': {
    of: (at) => -over(at, 0.15, 0.35),
    words: 'is extensor in early stance',
    firm: false,
  },
  'hip.moment': {
    of: (at) => -over(at, 0.05, 0.3),
    words: 'is extensor in early stance',
    firm: false,
  },
  'groundForce.vertical': {
    of: (at) => over(at, 0.1, 0.9),
    words: 'pushes up in stance',
    firm: true,
  },
  'groundForce.foreAft': {
    of: (at) => over(at, 0.75, 0.95),
    words: 'pushes forward in late stance',
    firm: true,
  },
};

/** From this share of its size a feature counts as shown, and from minus this as reversed. Our choice. */
const CLEAR = 0.15;

/** Does the column show what its sign would make it show? Where reversed, the likely flipped column is named. */
export function signFinding(channel: Channel, mean: Float64Array, stance: number): Finding | null {
  const feature = FEATURES[channel.name];
  if (feature === undefined) return null;
  const at = (place: number) => {
    const share = place <= 1 ? place * stance : stance + (place - 1) * (1 - stance);
    const x = Math.min(share, 1) * (STRIDE_SAMPLES - 1);
    const i = Math.min(Math.floor(x), STRIDE_SAMPLES - 2);
    return mean[i] + (x - i) * (mean[i + 1] - mean[i]);
  };
  let size = 0;
  const [low, high] = [Math.min(...mean), Math.max(...mean)];
  size = channel.kind === 'angle' ? high - low : Math.max(-low, high);
  const figure = feature.of(at) / size;
  const base = { id: `sign ${channel.name}`, figure, unit: '1', path: channel.name };
  const name = columnName(channel.column);
  if (figure >= CLEAR) return { ...base, verdict: 'holds', what: `${name} ${feature.words}` };
  if (figure > -CLEAR || !feature.firm) {
    return {
      ...base,
      verdict: 'warns',
      what: `${name} does not clearly show that it ${feature.words}: its sign is not confirmed`,
    };
  }
  return {
    ...base,
    verdict: 'fault',
    what: `${name} shows the reverse of the published strides, where it ${feature.words}: its sign is likely flipped`,
    mend: 'Turn `positive:` of this column in the recipe',
  };
}
