/** Small patches written in a line or two, for tests. */
import type { SettingValue } from '../../src/patch/blockSpec.ts';
import type { Patch, Place } from '../../src/patch/document.ts';

/** By id: the type, or the type and settings. */
export type SketchedBlocks = Readonly<Record<string, string | readonly [type: string, settings: Readonly<Record<string, SettingValue>>]>>;

/** Cables are written "lfo1.sine > osc1.pitch", several with commas between. */
export function sketched(blocks: SketchedBlocks, cables = '', rest: Partial<Patch> = {}): Patch {
  return {
    seconds: 2,
    ...rest,
    blocks: Object.entries(blocks).map(([id, block]) =>
      typeof block === 'string' ? { id, type: block } : { id, type: block[0], settings: block[1] },
    ),
    cables: cables
      .split(',')
      .map((cable) => cable.trim())
      .filter((cable) => cable !== '')
      .map((cable) => {
        const [from = '', to = ''] = cable.split('>').map((end) => end.trim());
        return { from: placeOf(from), to: placeOf(to) };
      }),
  };
}

function placeOf(name: string): Place {
  const [block = '', port = ''] = name.split('.');
  return [block, port];
}
