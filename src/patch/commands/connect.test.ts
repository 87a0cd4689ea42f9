// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { ferry, refusalOf, run } from '../../../tests/support/commandCase.ts';
import { isEmptyChange } from '../change.ts';
import type { Patch } from '../document.ts';
import { connect } from './connect.ts';

describe('connect', () => {
  it('runs a cable, any output to any input', () => {
    const { after, change } = run(connect, ferry, { from: ['osc1', 'sine'], to: ['osc2', 'fmExp'] });
    expect(after.cables.at(-1)).toEqual({ from: ['osc1', 'sine'], to: ['osc2', 'fmExp'] });
    expect(change.label).toBe('Connect Low voice to Oscillator 2');
    expect(run(connect, ferry, { from: ['amp1', 'out'], to: ['lfo1', 'reset'] }).after.cables).toHaveLength(4);
    expect(run(connect, ferry, { from: ['osc2', 'saw'], to: ['osc2', 'fmExp'] }).after.cables).toHaveLength(4);
  });

  it('replaces the cable of an occupied input in one step, at the same place in the file', () => {
    const { after } = run(connect, ferry, { from: ['osc2', 'sine'], to: ['amp1', 'in'] });
    expect(after.cables).toEqual([{ from: ['osc2', 'sine'], to: ['amp1', 'in'] }, ...ferry.cables.slice(1)]);
  });

  it('leads a cable to another input, free or occupied', () => {
    const free = run(connect, ferry, { from: ['lfo1', 'triangle'], to: ['osc1', 'fmExp'], instead: ['amp1', 'cv'] });
    expect(free.after.cables[1]).toEqual({ from: ['lfo1', 'triangle'], to: ['osc1', 'fmExp'] });
    expect(free.after.cables).toHaveLength(3);
    const occupied = run(connect, ferry, { from: ['lfo1', 'triangle'], to: ['amp1', 'in'], instead: ['amp1', 'cv'] });
    expect(occupied.after.cables).toEqual([{ from: ['lfo1', 'triangle'], to: ['amp1', 'in'] }, ferry.cables[2]]);
  });

  it('the same cable again is no change', () => {
    expect(isEmptyChange(run(connect, ferry, ferry.cables[0]!).change)).toBe(true);
  });

  it('refuses ports that are not there, and cable 8,001', () => {
    expect(refusalOf(connect, ferry, { from: ['amp1', 'in'], to: ['out1', 'left'] })).toEqual({
      refused: 'no-such-port',
      say: 'Amplifier has no output "in"; it has "out".',
    });
    expect(refusalOf(connect, ferry, { from: ['out1', 'left'], to: ['amp1', 'in'] }).say).toBe('Output has no output "left" at all.');
    expect(refusalOf(connect, ferry, { from: ['amp1', 'out'], to: ['out1', 'middle'] }).refused).toBe('no-such-port');
    expect(refusalOf(connect, ferry, { from: ['amp9', 'out'], to: ['out1', 'left'] }).refused).toBe('no-such-block');
    expect(refusalOf(connect, ferry, { from: ['amp1', 'out'], to: ['out1', 'left'], instead: ['out1', 'right'] }).refused).toBe(
      'no-such-cable',
    );
    const full: Patch = { ...ferry, cables: Array.from({ length: 8000 }, (_, i) => ({ from: ['amp1', 'out'], to: [`x${i}`, 'in'] })) };
    expect(refusalOf(connect, full, { from: ['amp1', 'out'], to: ['out1', 'left'] }).refused).toBe('too-many');
  });
});
