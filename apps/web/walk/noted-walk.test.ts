import type { Scenario, StudyInput } from '@striderule/engine';
import { expect, test } from 'vitest';
import { askKey } from './ask-key.ts';
import { askedNow, type NotedWalk } from './noted-walk.ts';

const scenario = (id: string, strides: number) => ({ id, strides }) as Scenario;
const study = (ratio: number, ...scenarios: Scenario[]) =>
  ({ name: 'Tern', leg: { ratio }, scenarios }) as unknown as StudyInput;
const noted = (input: StudyInput, walked?: Scenario): NotedWalk => {
  const asked = {
    choice: { speed: 1.1 },
    step: 1e-3,
    strides: 2,
    ...(walked && { instead: { kind: 'scenario', scenario: walked } as const }),
  };
  return { name: 'Tern, 1.10 m/s', asked, key: askKey({ input, ...asked }) };
};
/** As a tab has it after a reload. */
const reloaded = <T>(of: T): T => JSON.parse(JSON.stringify(of));

test('after a reload the same study is asked the same, and another is not', () => {
  const was = reloaded(noted(study(22)));
  expect(askKey(askedNow(was, reloaded(study(22)))!)).toBe(was.key);
  expect(askKey(askedNow(was, study(23))!)).not.toBe(was.key);
});

test('a scenario is that of the study now: the same, another by the same name, or none', () => {
  const was = reloaded(noted(study(22, scenario('kerb', 4)), scenario('kerb', 4)));
  expect(askKey(askedNow(was, study(22, scenario('kerb', 4)))!)).toBe(was.key);
  const longer = askedNow(was, study(22, scenario('kerb', 5)))!;
  expect(longer.instead).toEqual({ kind: 'scenario', scenario: scenario('kerb', 5) });
  expect(askKey(longer)).not.toBe(was.key);
  expect(askedNow(was, study(22))).toBeUndefined();
});
