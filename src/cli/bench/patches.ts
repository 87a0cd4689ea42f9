/** Patches made for measuring: many voices at once, and a voice with a loop in it. */
import type { Block, Cable, Patch, Place } from '../../patch/document.ts';

/** About `blocks` blocks: the voice as often as it takes, every copy with ids of its own. */
export function manyVoices(voice: Patch, blocks: number): Patch {
  const copies = Math.max(1, Math.round(blocks / voice.blocks.length));
  const renamed = (k: number) => ({
    blocks: voice.blocks.map((block): Block => ({ ...block, id: `${block.id}_${k}` })),
    cables: voice.cables.map((cable): Cable => {
      const place = ([block, port]: Place): Place => [`${block}_${k}`, port];
      return { from: place(cable.from), to: place(cable.to) };
    }),
  });
  const all = Array.from({ length: copies }, (_, k) => renamed(k));
  return { ...voice, blocks: all.flatMap((copy) => copy.blocks), cables: all.flatMap((copy) => copy.cables) };
}

/** The mixer's fourth input, quietly, so that a loop through it stays tame. */
function withFourth(voice: Patch, from: Place): Patch {
  const blocks = voice.blocks.map((block) => (block.id === 'm3' ? { ...block, settings: { ...block.settings, level4: 0.2 } } : block));
  return { ...voice, blocks, cables: [...voice.cables, { from, to: ['m3', 'in4'] }] };
}

/** The whole voice closed into one loop: its output, at a thousandth, moves the frequency of its first oscillator. */
export function closedVoice(voice: Patch): Patch {
  const back: Block = { id: 'back', type: 'mixer', settings: { level1: 0.001 } };
  const cables: Cable[] = [
    { from: ['v6', 'out'], to: ['back', 'in1'] },
    { from: ['back', 'sum'], to: ['o1', 'fmLin'] },
  ];
  return { ...voice, blocks: [...voice.blocks, back], cables: [...voice.cables, ...cables] };
}

/** The voice with a cable from its last amplifier back into the mixer in front of the filter: four blocks in a ring. */
export function loopedVoice(voice: Patch): Patch {
  return withFourth(voice, ['v6', 'out']);
}

/** As many cables without a ring: the cable comes from the first oscillator. */
export function openVoice(voice: Patch): Patch {
  return withFourth(voice, ['o1', 'saw']);
}
