// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { fullCatalogue as catalogue, hearing } from '../../../tests/support/hearing.ts';
import { type SketchedBlocks, sketched } from '../../../tests/support/sketched.ts';
import type { Patch } from '../../patch/document.ts';
import { constructions, type Found, findConstructions } from './find.ts';
import { createReading } from './reading.ts';

/** With the take, as page and command line ask. */
function found(patch: Patch): readonly Found[] {
  for (const cable of patch.cables) {
    const [source, target] = [cable.from, cable.to].map(([id]) => catalogue.get(patch.blocks.find((block) => block.id === id)?.type ?? ''));
    const real = source?.outputs.some(({ id }) => id === cable.from[1]) && target?.inputs.some(({ id }) => id === cable.to[1]);
    if (!real) throw new Error(`There is no cable ${cable.from.join('.')} > ${cable.to.join('.')}.`);
  }
  return findConstructions(createReading(patch, catalogue, hearing.hear(patch)));
}
const ids = (patch: Patch): string[] => found(patch).map(({ construction }) => construction.id);

interface Row {
  readonly id: string;
  readonly blocks: SketchedBlocks;
  readonly cables: string;
  /** What the construction is named by. */
  readonly heads: readonly string[];
  /** As close as can be, and yet not it: why, and the patch. */
  readonly miss: string;
  readonly missBlocks?: SketchedBlocks;
  readonly missCables?: string;
}

const out = { out1: 'output' } as const;

const rows: readonly Row[] = [
  {
    id: 'crossfade-by-inverted-copy',
    blocks: {
      lfo1: 'lfo',
      osc1: 'oscillator',
      noise1: 'noise',
      amp1: 'vca',
      amp2: 'vca',
      att1: ['attenuverter', { gain: -1, offset: 8 }],
      mix1: 'mixer',
      ...out,
    },
    cables:
      'osc1.saw > amp1.in, noise1.white > amp2.in, lfo1.triangle > amp1.cv, lfo1.triangle > att1.in, att1.out > amp2.cv, amp1.out > mix1.in1, amp2.out > mix1.in2, mix1.sum > out1.left',
    heads: ['amp1', 'amp2'],
    miss: 'the copy is the right way up',
    missBlocks: {
      lfo1: 'lfo',
      osc1: 'oscillator',
      noise1: 'noise',
      amp1: 'vca',
      amp2: 'vca',
      att1: ['attenuverter', { gain: 1, offset: 0 }],
      mix1: 'mixer',
      ...out,
    },
  },
  {
    id: 'modulation-depth',
    blocks: { lfo1: ['lfo', { rate: 5 }], env1: 'contour', clk1: 'clock', amp1: 'vca', osc1: 'oscillator', ...out },
    cables: 'clk1.beat > env1.gate, lfo1.sine > amp1.in, env1.contour > amp1.cv, amp1.out > osc1.fmExp, osc1.saw > out1.left',
    heads: ['amp1'],
    miss: 'the amplifier carries the sound, not a modulation',
    missCables: 'clk1.beat > env1.gate, osc1.saw > amp1.in, env1.contour > amp1.cv, amp1.out > out1.left',
  },
  {
    id: 'vibrato',
    blocks: { lfo1: ['lfo', { rate: 5.5 }], att1: ['attenuverter', { gain: 0.005 }], osc1: 'oscillator', ...out },
    cables: 'lfo1.sine > att1.in, att1.out > osc1.pitch, osc1.saw > out1.left',
    heads: ['lfo1'],
    miss: 'at 80 Hz it is frequency modulation',
    missBlocks: { lfo1: ['lfo', { rate: 80 }], att1: ['attenuverter', { gain: 0.005 }], osc1: 'oscillator', ...out },
  },
  {
    id: 'tremolo',
    blocks: { lfo1: ['lfo', { rate: 6 }], amp1: ['vca', { level: 0.5, cvAmount: 0.4 }], osc1: 'oscillator', ...out },
    cables: 'osc1.saw > amp1.in, lfo1.sine > amp1.cv, amp1.out > out1.left',
    heads: ['lfo1'],
    miss: 'at 0.2 Hz it is a swell',
    missBlocks: { lfo1: ['lfo', { rate: 0.2 }], amp1: ['vca', { level: 0.5, cvAmount: 0.4 }], osc1: 'oscillator', ...out },
  },
  {
    id: 'width-modulation',
    blocks: { lfo1: ['lfo', { rate: 0.4 }], osc1: 'oscillator', ...out },
    cables: 'lfo1.triangle > osc1.width, osc1.pulse > out1.left',
    heads: ['lfo1'],
    miss: 'the saw has no width',
    missCables: 'lfo1.triangle > osc1.width, osc1.saw > out1.left',
  },
  {
    id: 'auto-pan',
    blocks: { lfo1: ['lfo', { rate: 0.3 }], osc1: 'oscillator', pan1: 'pan', ...out },
    cables: 'osc1.saw > pan1.in, lfo1.triangle > pan1.cv, pan1.left > out1.left, pan1.right > out1.right',
    heads: ['lfo1'],
    miss: 'the wave moves the pitch',
    missCables: 'osc1.saw > pan1.in, lfo1.triangle > osc1.fmExp, pan1.left > out1.left, pan1.right > out1.right',
  },
  {
    id: 'louder-and-brighter',
    blocks: { env1: 'contour', clk1: 'clock', osc1: 'oscillator', flt1: 'filter', amp1: 'vca', ...out },
    cables:
      'clk1.beat > env1.gate, env1.contour > flt1.cv, env1.contour > amp1.cv, osc1.saw > flt1.in, flt1.lowpass > amp1.in, amp1.out > out1.left',
    heads: ['env1'],
    miss: 'filter and amplifier are in the ways of two sounds',
    missBlocks: { env1: 'contour', clk1: 'clock', osc1: 'oscillator', osc2: 'oscillator', flt1: 'filter', amp1: 'vca', ...out },
    missCables:
      'clk1.beat > env1.gate, env1.contour > flt1.cv, env1.contour > amp1.cv, osc1.saw > flt1.in, osc2.saw > amp1.in, flt1.lowpass > out1.left, amp1.out > out1.right',
  },
  {
    id: 'ducking',
    blocks: { drum1: 'drum', clk1: 'clock', fol1: 'follower', amp1: ['vca', { level: 1, cvAmount: -1 }], osc1: 'oscillator', ...out },
    cables:
      'clk1.beat > drum1.trigger, drum1.out > fol1.in, fol1.out > amp1.cv, osc1.saw > amp1.in, amp1.out > out1.left, drum1.out > out1.right',
    heads: ['fol1', 'amp1'],
    miss: 'the follower opens the amplifier',
    missBlocks: { drum1: 'drum', clk1: 'clock', fol1: 'follower', amp1: ['vca', { level: 0, cvAmount: 1 }], osc1: 'oscillator', ...out },
  },
  {
    id: 'ring-of-modulators',
    blocks: { lfo1: 'lfo', lfo2: 'lfo', flt1: 'filter' },
    cables: 'lfo1.sine > lfo2.rate, lfo2.sine > lfo1.rate, lfo1.triangle > flt1.cv',
    heads: ['lfo1', 'lfo2'],
    miss: 'one pushes the other and is not pushed back',
    missCables: 'lfo1.sine > lfo2.rate, lfo2.sine > flt1.cv2, lfo1.triangle > flt1.cv',
  },
  {
    id: 'looping-envelope',
    blocks: { env1: ['contour', { loop: 'on' }], flt1: 'filter' },
    cables: 'env1.contour > flt1.cv',
    heads: ['env1'],
    miss: 'it waits for gates',
    missBlocks: { env1: ['contour', { loop: 'off' }], flt1: 'filter' },
  },
  {
    id: 'second-envelope-after-attack',
    blocks: { clk1: 'clock', env1: 'contour', env2: 'contour', flt1: 'filter' },
    cables: 'clk1.beat > env1.gate, env1.attackEnd > env2.gate, env2.contour > flt1.cv, env1.contour > flt1.cv2',
    heads: ['env1', 'env2'],
    miss: 'both are fired at once',
    missCables: 'clk1.beat > env1.gate, clk1.beat > env2.gate, env2.contour > flt1.cv, env1.contour > flt1.cv2',
  },
  {
    id: 'envelopes-in-a-row',
    blocks: { clk1: 'clock', env1: 'contour', env2: 'contour', flt1: 'filter' },
    cables: 'clk1.beat > env1.gate, env1.cycleEnd > env2.gate, env2.contour > flt1.cv',
    heads: ['env1', 'env2'],
    miss: 'the end of the attack fires the second',
    missCables: 'clk1.beat > env1.gate, env1.attackEnd > env2.gate, env2.contour > flt1.cv',
  },
  {
    id: 'alternating-envelopes',
    blocks: { clk1: 'clock', ff1: 'latch', env1: 'contour', env2: 'contour' },
    cables: 'clk1.beat > ff1.toggle, ff1.on > env1.gate, ff1.off > env2.gate',
    heads: ['ff1'],
    miss: 'both hang on the same output',
    missCables: 'clk1.beat > ff1.toggle, ff1.on > env1.gate, ff1.on > env2.gate',
  },
  {
    id: 'low-pass-gate-pluck',
    blocks: { clk1: 'clock', osc1: 'oscillator', lpg1: 'lowpassGate', ...out },
    cables: 'clk1.beat > lpg1.strike, osc1.saw > lpg1.in, lpg1.out > out1.left',
    heads: ['lpg1'],
    miss: 'a slow wave opens it, nothing strikes it',
    missBlocks: { lfo1: 'lfo', osc1: 'oscillator', lpg1: 'lowpassGate', ...out },
    missCables: 'lfo1.sine > lpg1.cv, osc1.saw > lpg1.in, lpg1.out > out1.left',
  },
  {
    id: 'followed-filter',
    blocks: { drum1: 'drum', clk1: 'clock', fol1: 'follower', flt1: 'filter', ...out },
    cables: 'clk1.beat > drum1.trigger, drum1.out > fol1.in, drum1.out > flt1.in, fol1.out > flt1.cv, flt1.lowpass > out1.left',
    heads: ['fol1', 'flt1'],
    miss: 'it moves the resonance',
    missCables:
      'clk1.beat > drum1.trigger, drum1.out > fol1.in, drum1.out > flt1.in, fol1.out > flt1.resonanceCv, flt1.lowpass > out1.left',
  },
  {
    id: 'struck-filter',
    blocks: { clk1: 'clock', div1: ['divider', { width: 'trigger' }], flt1: ['filter', { resonance: 0.99 }], ...out },
    cables: 'clk1.beat > div1.clock, div1.by2 > flt1.in, flt1.bandpass > out1.left',
    heads: ['flt1'],
    miss: 'without resonance it only thumps',
    missBlocks: { clk1: 'clock', div1: ['divider', { width: 'trigger' }], flt1: ['filter', { resonance: 0.3 }], ...out },
  },
  {
    id: 'audio-rate-fm',
    blocks: { osc1: ['oscillator', { tune: 616 }], osc2: ['oscillator', { tune: 440 }], ...out },
    cables: 'osc1.sine > osc2.fmLin, osc2.sine > out1.left',
    heads: ['osc1', 'osc2'],
    miss: 'an oscillator turned down to 8 Hz is a vibrato',
    missBlocks: { osc1: ['oscillator', { tune: 8 }], osc2: ['oscillator', { tune: 440 }], ...out },
  },
  {
    id: 'amplitude-modulation',
    blocks: { osc1: ['oscillator', { tune: 300 }], osc2: 'oscillator', amp1: ['vca', { level: 0.5 }], ...out },
    cables: 'osc2.sine > amp1.in, osc1.sine > amp1.cv, amp1.out > out1.left',
    heads: ['osc1', 'amp1'],
    miss: 'at 8 Hz it is a tremolo',
    missBlocks: { osc1: ['oscillator', { tune: 8 }], osc2: 'oscillator', amp1: ['vca', { level: 0.5 }], ...out },
  },
  {
    id: 'ring-modulation',
    blocks: { osc1: 'oscillator', osc2: ['oscillator', { tune: 311 }], ring1: 'ringmod', ...out },
    cables: 'osc1.sine > ring1.x, osc2.sine > ring1.y, ring1.out > out1.left',
    heads: ['ring1'],
    miss: 'one of the two is an envelope: an amplifier',
    missBlocks: { osc1: 'oscillator', env1: 'contour', clk1: 'clock', ring1: 'ringmod', ...out },
    missCables: 'clk1.beat > env1.gate, osc1.sine > ring1.x, env1.contour > ring1.y, ring1.out > out1.left',
  },
  {
    id: 'sync-sweep',
    blocks: { clk1: 'clock', env1: 'contour', osc1: 'oscillator', osc2: 'oscillator', ...out },
    cables: 'clk1.beat > env1.gate, osc1.saw > osc2.sync, env1.contour > osc2.fmExp, osc2.saw > out1.left',
    heads: ['osc1', 'osc2'],
    miss: 'the envelope bends both alike',
    missCables: 'clk1.beat > env1.gate, osc1.saw > osc2.sync, env1.contour > osc2.fmExp, env1.contour > osc1.fmExp, osc2.saw > out1.left',
  },
  {
    id: 'beating-oscillators',
    blocks: { osc1: 'oscillator', osc2: ['oscillator', { fine: 7 }], mix1: 'mixer', ...out },
    cables: 'osc1.saw > mix1.in1, osc2.saw > mix1.in2, mix1.sum > out1.left',
    heads: ['osc1', 'osc2'],
    miss: 'a fifth apart they make an interval',
    missBlocks: { osc1: 'oscillator', osc2: ['oscillator', { fine: 7, semitone: 7 }], mix1: 'mixer', ...out },
  },
  {
    id: 'tuned-delay',
    blocks: { clk1: 'clock', seq1: 'sequencer', dly1: ['delay', { feedback: 0.98, mix: 1 }], ...out },
    cables: 'clk1.beat > seq1.clock, seq1.pitch > dly1.pitch, seq1.trigger > dly1.in, dly1.out > out1.left',
    heads: ['dly1'],
    miss: 'with little feedback nothing rings',
    missBlocks: { clk1: 'clock', seq1: 'sequencer', dly1: ['delay', { feedback: 0.2, mix: 1 }], ...out },
  },
  {
    id: 'feedback-outside',
    blocks: { noise1: 'noise', dly1: 'delay', flt1: 'filter', ...out },
    cables: 'noise1.white > dly1.in, dly1.wet > flt1.in, flt1.highpass > dly1.return, dly1.out > out1.left',
    heads: ['dly1'],
    miss: 'the filter lies behind the delay and does not lead back',
    missCables: 'noise1.white > dly1.in, dly1.wet > flt1.in, flt1.highpass > out1.right, dly1.out > out1.left',
  },
  {
    id: 'divided-clock',
    blocks: { clk1: ['clock', { bpm: 240 }], div1: 'divider', drum1: 'drum', drum2: 'drum' },
    cables: 'clk1.beat > div1.clock, div1.by3 > drum1.trigger, div1.by4 > drum2.trigger',
    heads: ['div1'],
    miss: 'both hear the same division',
    missCables: 'clk1.beat > div1.clock, div1.by3 > drum1.trigger, div1.by3 > drum2.trigger',
  },
  {
    id: 'burst',
    blocks: { clk1: 'clock', gdly1: ['gateDelay', { repeats: 4, spacing: 0.05 }], drum1: 'drum' },
    cables: 'clk1.beat > gdly1.in, gdly1.out > drum1.trigger',
    heads: ['gdly1'],
    miss: 'one gate for one gate is a delay',
    missBlocks: { clk1: 'clock', gdly1: ['gateDelay', { repeats: 1, delay: 0.1 }], drum1: 'drum' },
  },
  {
    id: 'glide',
    blocks: { clk1: 'clock', seq1: 'sequencer', slew1: 'slew', osc1: 'oscillator', ...out },
    cables: 'clk1.beat > seq1.clock, seq1.pitch > slew1.in, slew1.out > osc1.pitch, osc1.saw > out1.left',
    heads: ['slew1'],
    miss: 'the filter glides, the pitch does not',
    missBlocks: { clk1: 'clock', seq1: 'sequencer', slew1: 'slew', osc1: 'oscillator', flt1: 'filter', ...out },
    missCables:
      'clk1.beat > seq1.clock, seq1.pitch > slew1.in, slew1.out > flt1.pitch, seq1.pitch > osc1.pitch, osc1.saw > flt1.in, flt1.lowpass > out1.left',
  },
  {
    id: 'step-gated-randomness',
    blocks: { clk1: 'clock', seq1: 'sequencer', hold1: 'sampleHold', flt1: 'filter' },
    cables: 'clk1.beat > seq1.clock, seq1.gate > hold1.trigger, hold1.out > flt1.cv',
    heads: ['hold1'],
    miss: 'the clock takes a value at each beat, gate or not',
    missCables: 'clk1.beat > seq1.clock, clk1.beat > hold1.trigger, hold1.out > flt1.cv',
  },
  {
    id: 'sample-and-hold-melody',
    blocks: { clk1: 'clock', hold1: 'sampleHold', osc1: 'oscillator', ...out },
    cables: 'clk1.beat > hold1.trigger, hold1.out > osc1.pitch, osc1.saw > out1.left',
    heads: ['hold1'],
    miss: 'the voltage wanders smoothly and holds no note',
    missBlocks: { rnd1: 'random', osc1: 'oscillator', ...out },
    missCables: 'rnd1.smooth > osc1.pitch, osc1.saw > out1.left',
  },
  {
    id: 'random-walk',
    blocks: { clk1: 'clock', hold1: 'sampleHold', seq1: 'sequencer', osc1: 'oscillator' },
    cables: 'clk1.beat > hold1.trigger, clk1.beat > seq1.clock, hold1.out > seq1.direction, seq1.pitch > osc1.pitch',
    heads: ['hold1', 'seq1'],
    miss: 'the voltage transposes the row',
    missCables: 'clk1.beat > hold1.trigger, clk1.beat > seq1.clock, hold1.out > seq1.transpose, seq1.pitch > osc1.pitch',
  },
  {
    id: 'quantized-wave',
    blocks: { lfo1: 'lfo', qnt1: 'quantizer', osc1: 'oscillator' },
    cables: 'lfo1.triangle > qnt1.pitch, qnt1.pitch > osc1.pitch',
    heads: ['lfo1', 'qnt1'],
    miss: 'a row is quantized, not a wave',
    missBlocks: { clk1: 'clock', seq1: 'sequencer', qnt1: 'quantizer', osc1: 'oscillator' },
    missCables: 'clk1.beat > seq1.clock, seq1.pitch > qnt1.pitch, qnt1.pitch > osc1.pitch',
  },
  {
    id: 'canon',
    blocks: { clk1: 'clock', shift1: 'shiftRegister', osc1: 'oscillator', osc2: 'oscillator' },
    cables: 'clk1.beat > shift1.clock, shift1.out1 > osc1.pitch, shift1.out2 > osc2.pitch',
    heads: ['shift1'],
    miss: 'both voices read the same place',
    missCables: 'clk1.beat > shift1.clock, shift1.out1 > osc1.pitch, shift1.out1 > osc2.pitch',
  },
  {
    id: 'shift-of-gates',
    blocks: { clk1: 'clock', euc1: 'euclidean', shift1: 'shiftRegister', env1: 'contour', env2: 'contour' },
    cables:
      'clk1.sixteenth > euc1.clock, clk1.sixteenth > shift1.clock, euc1.gate > shift1.in, shift1.out1 > env1.gate, shift1.out3 > env2.gate',
    heads: ['shift1'],
    miss: 'random voltages are shifted, no gates',
    missBlocks: { clk1: 'clock', rnd1: 'random', shift1: 'shiftRegister', env1: 'contour', env2: 'contour' },
    missCables: 'clk1.sixteenth > shift1.clock, rnd1.stepped > shift1.in, shift1.out1 > env1.gate, shift1.out3 > env2.gate',
  },
];

describe('constructions', () => {
  it('each has a row here', () => {
    expect(rows.map(({ id }) => id).sort()).toEqual(constructions.map(({ id }) => id).sort());
    expect(new Set(constructions.map(({ name }) => name)).size).toBe(constructions.length);
  });

  it.each(rows)('$id is found in the smallest patch that has it', ({ id, blocks, cables, heads }) => {
    const patch = sketched(blocks, cables);
    const hits = found(patch).filter(({ construction }) => construction.id === id);
    expect(hits).toHaveLength(1);
    expect(hits[0]?.blocks.slice(0, hits[0].heads)).toEqual(heads);
    for (const block of hits[0]?.blocks ?? []) expect(Object.keys(blocks)).toContain(block);
    const inputs = patch.cables.map(({ to }) => to.join('.'));
    expect(hits[0]?.cables.length).toBeGreaterThan(0);
    for (const cable of hits[0]?.cables ?? []) expect(inputs).toContain(cable);
  });

  it.each(rows)('$id is not found where $miss', ({ id, blocks, cables, missBlocks = blocks, missCables = cables }) => {
    expect(ids(sketched(missBlocks, missCables))).not.toContain(id);
  });
});

describe('what makes two matches one find', () => {
  it('a vibrato on three oscillators is one vibrato, and lights up all of them', () => {
    const blocks: SketchedBlocks = {
      lfo1: ['lfo', { rate: 5 }],
      att1: ['attenuverter', { gain: 0.004 }],
      osc1: 'oscillator',
      osc2: 'oscillator',
      osc10: 'oscillator',
    };
    const all = found(sketched(blocks, 'lfo1.sine > att1.in, att1.out > osc10.pitch, att1.out > osc2.pitch, att1.out > osc1.pitch'));
    expect(all.map(({ construction }) => construction.id)).toEqual(['vibrato']);
    expect(all[0]?.blocks).toEqual(['lfo1', 'att1', 'osc1', 'osc2', 'osc10']);
  });

  it('the rate that is heard decides, not the one that is set: a clocked LFO', () => {
    const patch = (perClock: number) =>
      sketched(
        {
          clk1: ['clock', { bpm: 120 }],
          lfo1: ['lfo', { rate: 60, perClock }],
          amp1: ['vca', { level: 0.5, cvAmount: 0.5 }],
          osc1: 'oscillator',
          ...out,
        },
        'clk1.beat > lfo1.clock, osc1.saw > amp1.in, lfo1.sine > amp1.cv, amp1.out > out1.left',
      );
    // 2 beats a second: 4 cycles in each are 8 Hz, a quarter in each is 0.5 Hz
    expect(ids(patch(4))).toContain('tremolo');
    expect(ids(patch(0.25))).not.toContain('tremolo');
  });

  it('amplifiers of a cross-fade are not named as modulation depth as well', () => {
    const row = rows[0] as Row;
    expect(ids(sketched(row.blocks, row.cables))).toEqual(['crossfade-by-inverted-copy']);
  });

  it('an envelope that gates fire is no tremolo, however quick they come', () => {
    const cables = 'clk1.eighth > env1.gate, osc1.saw > amp1.in, env1.contour > amp1.cv, amp1.out > out1.left';
    const blocks = (loop: string): SketchedBlocks => ({
      clk1: 'clock',
      env1: ['contour', { loop, attack: 0.1, decay: 0.1 }],
      osc1: 'oscillator',
      amp1: 'vca',
      ...out,
    });
    expect(ids(sketched(blocks('off'), cables))).not.toContain('tremolo');
    expect(ids(sketched(blocks('on'), cables))).toContain('tremolo');
  });

  it('a compressor is no ducking: it hears the sound that it turns down', () => {
    const patch = sketched(
      { osc1: 'oscillator', fol1: 'follower', amp1: ['vca', { level: 1, cvAmount: -1 }], ...out },
      'osc1.saw > fol1.in, osc1.saw > amp1.in, fol1.out > amp1.cv, amp1.out > out1.left',
    );
    expect(ids(patch)).not.toContain('ducking');
  });
});
