// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { ferry, refusalOf, run } from '../../../tests/support/commandCase.ts';
import type { Patch } from '../document.ts';
import { addProbe } from './addProbe.ts';
import { removeProbe } from './removeProbe.ts';

describe('addProbe and removeProbe', () => {
  it('clip and take off', () => {
    const probed = run(addProbe, ferry, { at: ['lfo1', 'triangle'] });
    expect(probed.after.probes).toEqual([{ at: ['lfo1', 'triangle'] }]);
    expect(probed.change.label).toBe('Probe LFO Triangle');
    const bare: Patch = run(removeProbe, probed.after, { at: ['lfo1', 'triangle'] }).after;
    expect(bare).toEqual(ferry);
    expect(bare).not.toHaveProperty('probes');
  });

  it('refuse a second probe, inputs, and probes that are not there', () => {
    const probed = run(addProbe, ferry, { at: ['osc1', 'saw'] }).after;
    expect(refusalOf(addProbe, probed, { at: ['osc1', 'saw'] })).toEqual({
      refused: 'already-there',
      say: 'There is already a probe on Low voice Saw.',
    });
    expect(refusalOf(addProbe, ferry, { at: ['osc1', 'fmExp'] }).refused).toBe('no-such-port');
    expect(refusalOf(removeProbe, ferry, { at: ['osc1', 'saw'] }).refused).toBe('no-such-probe');
  });
});
