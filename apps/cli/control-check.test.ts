import { readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { DEMO_MARK } from './heading.ts';
import { DEMO_STUDY } from './study-place.ts';
import { asJson, copyOfDemo, striderule } from './test-command.ts';

const flat = (text: string): string => text.replace(/\s+/g, ' ');

describe('control check', () => {
  test('one line first, then states, transitions, faults and limits, known limits, cautions', async () => {
    const { code, stdout } = await striderule(['control', 'check']);
    expect(code).toBe(0);
    const { input } = await openStudy(DEMO_STUDY);
    const { fingerprint, controller } = input.controller!;
    expect(flat(stdout)).toMatch(
      new RegExp(
        `^Controller tern, version 0.1, ${fingerprint.slice(0, 12)}: nothing found wrong in ${controller.states.length} states`,
      ),
    );
    expect(stdout).toContain(DEMO_MARK);
    for (const { name } of controller.states)
      expect(stdout).toMatch(new RegExp(`^${name}( \\(begins\\))? `, 'm'));
    for (const { name } of controller.watches) expect(stdout).toMatch(new RegExp(`^${name} `, 'm'));
    expect(stdout).toMatch(/^swing +stance +load > 40 % of weight +2 +— +1$/m);
    // 50 ms must be passed: 51 ticks; one period of delay; torque from one limit to the other, 300 N·m at 30 kN·m/s
    expect(stdout).toMatch(/^thigh-lost +thigh +missing +— +50 +the state’s own safe one +62 +90$/m);
    expect(stdout).toMatch(/^load-outside +load +outside +−20 … 300 % of weight +10 /m);
    expect(stdout).toMatch(/^thigh-wanders +thigh +wanders +3° +0 +a warning +— +—$/m);
    expect(stdout).toMatch(/^knee-hot +kneeWinding +outside +above 120 °C +0 /m);
    expect(stdout).toMatch(/^knee .* 500 W, none from 52 to 57 V +30000$/m);
    for (const told of ['turning on the spot', 'nothing found is no proof', 'ethics board'])
      expect(flat(stdout)).toContain(told);
    expect(stdout).not.toMatch(/NaN|undefined|null/);
  });

  test('--json is the controller as the study holds it', async () => {
    const { stdout } = await striderule(['control', 'check', '--json']);
    const { input } = await openStudy(DEMO_STUDY);
    const told = JSON.parse(stdout);
    expect(told.controller).toEqual(asJson(input.controller!.controller));
    expect(told.fingerprint).toBe(input.controller!.fingerprint);
    expect(told.faults).toEqual([]);
    // one schedule for each of the three tasks, the slowest first
    expect(told.schedules['level-knee']).toHaveLength(3);
  });

  test('a trap: exit 1, said with its mend, before the tables', async () => {
    const study = copyOfDemo();
    const file = path.join(study, 'controllers/tern.yaml');
    writeFileSync(
      file,
      readFileSync(file, 'utf8').replace('from: [standing, stance, lowering', 'from: [standing, lowering'),
    );
    const { code, stdout } = await striderule(['control', 'check', '--study', study]);
    expect(code).toBe(1);
    expect(flat(stdout)).toMatch(/^Controller tern, .*: 1 fault in 12 states/);
    expect(stdout).toMatch(
      /states\.stance: `stance` is meant for load and cannot be left unloaded, thigh at 5°/,
    );
  });

  test('no controller in the study, another one chosen, one that is not there', async () => {
    const study = copyOfDemo();
    const file = path.join(study, 'study.yaml');
    writeFileSync(file, readFileSync(file, 'utf8').replace(/^controller:.*\n/m, ''));
    const none = await striderule(['control', 'check', '--study', study]);
    expect(none.code).toBe(1);
    expect(flat(none.stdout)).toMatch(
      /^No controller can be judged: the study names no controller: add `controller:`/,
    );
    const chosen = await striderule(['control', 'check', '--study', study, '--controller', 'tern']);
    expect(chosen.code).toBe(0);
    const missing = await striderule(['control', 'check', '--controller', 'turn']);
    expect(missing.code).toBe(1);
    expect(missing.stderr).toContain('controllers/turn.yaml');
  });
});
