// @vitest-environment node
import { readdirSync, readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { specs } from '../../src/blocks/specs.gen.ts';
import { createCatalogue, type NumberSetting } from '../../src/patch/blockSpec.ts';
import { checkSetting } from '../../src/patch/checkSetting.ts';
import { readPatch } from '../../src/patch/file/read.ts';
import { writePatch } from '../../src/patch/file/write.ts';
import { formatValue, fromTravel, parseValue, toTravel } from '../../src/patch/values/index.ts';
import { randomPatch } from '../support/randomPatch.ts';

const catalogue = createCatalogue(specs);
const folder = new URL('../files/v1/', import.meta.url);
const stored = readdirSync(folder).filter((name) => name.endsWith('.patch.json'));
const settings = specs.flatMap((spec) => spec.settings.map((setting) => [`${spec.type}.${setting.id}`, setting] as const));
const numbers = settings.flatMap(([name, setting]): (readonly [string, NumberSetting])[] => {
  if (setting.type === 'number') return [[name, setting]];
  const fields = setting.type === 'list' ? setting.fields : [];
  return fields.flatMap((field) => (field.type === 'number' ? [[`${name}[].${field.id}`, field] as const] : []));
});

describe('documents over the whole catalogue', () => {
  it.each(stored)('%s is read', (name) => {
    expect(readPatch(readFileSync(new URL(name, folder)), catalogue)).toHaveProperty('patch');
  });

  it('any patch is written and read back', () => {
    fc.assert(
      fc.property(randomPatch(catalogue), (patch) => {
        expect(readPatch(writePatch(patch), catalogue)).toEqual({ patch });
      }),
    );
  });

  it.each(settings)('%s takes its own default', (_, setting) => {
    expect(checkSetting(setting, setting.default, '')).toEqual([]);
  });

  it.each(numbers)('%s: ends and default are shown so that they can be typed back, and a slider reaches them', (_, setting) => {
    for (const value of [setting.minimum, setting.maximum, setting.default]) {
      const back = parseValue(formatValue(value, setting), setting);
      expect(back).toBeTypeOf('number');
      expect(Math.abs(Number(back) - value)).toBeLessThanOrEqual(setting.pitchVolts ? 0.051 / 1200 : Math.abs(value) * 5.1e-4);
      expect(Math.abs(toTravel(fromTravel(toTravel(value, setting), setting), setting) - toTravel(value, setting))).toBeLessThan(0.001);
    }
  });
});
