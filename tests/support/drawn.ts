/** Patches written in words, for tests. */
import type { Block, Cable, Patch } from '../../src/patch/document.ts';
import { asPlace } from './runPatch.ts';

/** `blocks`: "osc1 oscillator". `cables`: "osc1.saw out1.left". `settings` by block id. */
export function drawn(
  blocks: readonly string[],
  cables: readonly string[],
  settings: Readonly<Record<string, Block['settings']>> = {},
  more: Partial<Patch> = {},
): Patch {
  return {
    ...more,
    blocks: blocks.map((line): Block => {
      const [id = '', type = ''] = line.split(' ');
      return { id, type, ...(settings[id] && { settings: settings[id] }) };
    }),
    cables: cables.map((line): Cable => {
      const [from = '', to = ''] = line.split(' ');
      return { from: asPlace(from), to: asPlace(to) };
    }),
  };
}
