import { ENGINE_VERSION } from '@striderule/engine';

/** What a derived result was made from and by. */
export interface Made {
  readonly engineVersion: string;
  /** Fingerprint of each input by its name, such as `legs/tern.yaml`. */
  readonly inputs: Readonly<Record<string, string>>;
  /** Where chance was used. */
  readonly seed?: number;
}

export interface Staleness {
  readonly stale: boolean;
  /** Inputs whose content is another now, inputs that are new, and inputs that are gone. */
  readonly changed: readonly string[];
  readonly added: readonly string[];
  readonly removed: readonly string[];
  /** Another engine than this one made it. */
  readonly engine: boolean;
  /** It was made with another seed. */
  readonly seed: boolean;
}

/** Whether a result still fits what there is now, and if not, which inputs changed. */
export function staleness(made: Made, now: Pick<Made, 'inputs' | 'seed'>): Staleness {
  const [then, today] = [made.inputs, now.inputs];
  const changed = Object.keys(today).filter(
    (name) => Object.hasOwn(then, name) && then[name] !== today[name],
  );
  const added = Object.keys(today).filter((name) => !Object.hasOwn(then, name));
  const removed = Object.keys(then).filter((name) => !Object.hasOwn(today, name));
  const engine = made.engineVersion !== ENGINE_VERSION;
  const seed = made.seed !== now.seed;
  const stale = engine || seed || changed.length + added.length + removed.length > 0;
  return { stale, changed: changed.sort(), added: added.sort(), removed: removed.sort(), engine, seed };
}

/** Staleness in words: `legs/tern.yaml changed; engine 0.1.0, now 0.2.0`. Empty where nothing is stale. */
export function stalenessText(made: Made, now: Pick<Made, 'inputs' | 'seed'>): string {
  const { changed, added, removed, engine, seed } = staleness(made, now);
  return [
    ...changed.map((name) => `${name} changed`),
    ...added.map((name) => `${name} is new`),
    ...removed.map((name) => `${name} is gone`),
    ...(engine ? [`engine ${made.engineVersion}, now ${ENGINE_VERSION}`] : []),
    ...(seed ? [`seed ${made.seed ?? 'none'}, now ${now.seed ?? 'none'}`] : []),
  ].join('; ');
}
