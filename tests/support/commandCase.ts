/** Runs a command as the page does, and checks on the way what holds for every command: it can be undone and fits the patch. */
import { expect } from 'vitest';
import type { Change } from '../../src/patch/change.ts';
import { applyChange, invertChange } from '../../src/patch/change.ts';
import type { Command } from '../../src/patch/commands/command.ts';
import type { Patch } from '../../src/patch/document.ts';
import type { Refusal } from '../../src/patch/refusal.ts';
import { isRefusal } from '../../src/patch/refusal.ts';
import { smallCatalogue } from './smallCatalogue.ts';

/** Two voices through an amplifier that a slow wave opens, into the loudspeaker. */
export const ferry: Patch = {
  title: 'Ferry bell',
  blocks: [
    { id: 'osc1', type: 'oscillator', label: 'Low voice', at: [0, 0], settings: { tune: 110, sync: 'soft' } },
    { id: 'osc2', type: 'oscillator', at: [0, 96] },
    { id: 'amp1', type: 'vca', at: [160, 0] },
    { id: 'lfo1', type: 'lfo', at: [160, 160] },
    { id: 'out1', type: 'output', at: [320, 0] },
  ],
  cables: [
    { from: ['osc1', 'saw'], to: ['amp1', 'in'] },
    { from: ['lfo1', 'triangle'], to: ['amp1', 'cv'] },
    { from: ['amp1', 'out'], to: ['out1', 'left'] },
  ],
};

export function run<Arguments>(
  command: Command<Arguments>,
  patch: Patch,
  args: Arguments,
): { readonly after: Patch; readonly change: Change } {
  const change = command(patch, smallCatalogue, args);
  if (isRefusal(change)) throw new Error(`refused: ${change.say}`);
  const after = applyChange(patch, change);
  expect(applyChange(after, invertChange(change))).toEqual(patch);
  return { after, change };
}

export function refusalOf<Arguments>(command: Command<Arguments>, patch: Patch, args: Arguments): Refusal {
  const result = command(patch, smallCatalogue, args);
  if (!isRefusal(result)) throw new Error('the command was not refused');
  expect(result.say).toMatch(/^\S.*\.$/);
  return result;
}
