// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { ferry, refusalOf, run } from '../../../tests/support/commandCase.ts';
import type { Patch } from '../document.ts';
import { resetSetting } from './resetSetting.ts';

describe('resetSetting', () => {
  it('puts the default back', () => {
    const { after, change } = run(resetSetting, ferry, { block: 'osc1', setting: 'tune' });
    expect(after.blocks[0]?.settings).toEqual({ sync: 'soft' });
    expect(change.label).toBe('Reset Tune of Low voice');
  });

  it('refuses what is not there', () => {
    const empty: Patch = { blocks: [], cables: [] };
    expect(refusalOf(resetSetting, ferry, { block: 'osc1', setting: 'warmth' }).refused).toBe('no-such-setting');
    expect(refusalOf(resetSetting, empty, { block: 'osc1', setting: 'tune' }).refused).toBe('no-such-block');
  });
});
