/** A patch that touches everything that could differ between hosts: loops, noise, filters, events, all four kinds of cable. */
import type { Patch } from '../../src/patch/document.ts';

export const parityPatch: Patch = {
  seed: 7,
  seconds: 1,
  blocks: [
    { id: 'clk', type: 'clock', settings: { bpm: 137 } },
    {
      id: 'seq',
      type: 'sequencer',
      settings: { length: 3, steps: [{ pitch: -1 }, { pitch: 0.25, repeats: 2 }, { pitch: 0, chance: 0.5 }] },
    },
    { id: 'low', type: 'oscillator', settings: { tune: 110 } },
    { id: 'high', type: 'oscillator', settings: { tune: 440, fmLinAmount: 0.4 } },
    { id: 'slow', type: 'lfo', settings: { rate: 3.7 } },
    { id: 'hiss', type: 'noise' },
    { id: 'mix', type: 'mixer', settings: { level3: 0.1, level4: -0.4 } },
    { id: 'flt', type: 'ladder', settings: { cutoff: 700, resonance: 0.8 } },
    { id: 'env', type: 'contour', settings: { decay: 0.12 } },
    { id: 'amp', type: 'vca' },
    { id: 'out', type: 'output', settings: { level: 0 } },
  ],
  cables: [
    { from: ['clk', 'sixteenth'], to: ['seq', 'clock'] },
    { from: ['seq', 'pitch'], to: ['low', 'pitch'] },
    { from: ['seq', 'pitch'], to: ['high', 'pitch'] },
    { from: ['seq', 'gate'], to: ['env', 'gate'] },
    { from: ['low', 'sine'], to: ['high', 'fmLin'] },
    { from: ['low', 'saw'], to: ['mix', 'in1'] },
    { from: ['high', 'pulse'], to: ['mix', 'in2'] },
    { from: ['hiss', 'pink'], to: ['mix', 'in3'] },
    { from: ['amp', 'out'], to: ['mix', 'in4'] },
    { from: ['mix', 'sum'], to: ['flt', 'in'] },
    { from: ['slow', 'triangle'], to: ['flt', 'cv'] },
    { from: ['flt', 'lowpass24'], to: ['amp', 'in'] },
    { from: ['env', 'contour'], to: ['amp', 'cv'] },
    { from: ['amp', 'out'], to: ['out', 'left'] },
    { from: ['flt', 'lowpass12'], to: ['out', 'right'] },
  ],
};
