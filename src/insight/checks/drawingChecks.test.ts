// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { drawn } from '../../../tests/support/drawn.ts';
import { specs } from '../../blocks/specs.gen.ts';
import { createCatalogue } from '../../patch/blockSpec.ts';
import type { Patch } from '../../patch/document.ts';
import { applyVariation } from '../../patch/variation.ts';
import { findings } from '../findings.ts';
import { drawingRules, rules } from './index.ts';
import { driftOf } from './timeRules.ts';

const catalogue = createCatalogue(specs);
/** A tone that is heard, which nothing is said about. */
const tone = ['osc1 oscillator', 'out1 output'];
const heard = 'osc1.saw out1.left';
const open = { amp1: { level: 1 } };
const file = [{ id: 'fog', name: 'Fog.wav', sha256: 'f'.repeat(64), seconds: 1 }];

/** Rule, a patch that has it, one that has not; the block it is pinned to. */
const pairs: readonly (readonly [rule: string, block: string | undefined, has: Patch, hasNot: Patch])[] = [
  ['no-output', undefined, drawn(['osc1 oscillator'], []), drawn(tone, [heard])],
  ['output-unpatched', 'out1', drawn(tone, []), drawn(tone, [heard])],
  [
    'only-itself',
    'mix1',
    drawn(['mix1 mixer', 'out1 output'], ['mix1.sum mix1.in1', 'mix1.sum out1.left']),
    drawn([...tone, 'mix1 mixer'], ['mix1.sum mix1.in1', 'osc1.saw mix1.in2', 'mix1.sum out1.left']),
  ],
  [
    'shut',
    'amp1',
    drawn([...tone, 'amp1 vca'], [heard, 'osc1.saw amp1.in', 'amp1.out out1.right']),
    drawn([...tone, 'amp1 vca', 'lfo1 lfo'], [heard, 'osc1.saw amp1.in', 'lfo1.sine amp1.cv', 'amp1.out out1.right']),
  ],
  [
    'needs-cable',
    'env1',
    drawn([...tone, 'amp1 vca', 'env1 contour'], [heard, 'osc1.saw amp1.in', 'env1.contour amp1.cv', 'amp1.out out1.right'], open),
    drawn(
      [...tone, 'amp1 vca', 'env1 contour', 'clk1 clock'],
      [heard, 'osc1.saw amp1.in', 'env1.contour amp1.cv', 'amp1.out out1.right', 'clk1.beat env1.gate'],
    ),
  ],
  [
    'no-sound-file',
    'p1',
    drawn([...tone, 'p1 samplePlayer', 'clk1 clock'], [heard, 'p1.left out1.right', 'clk1.beat p1.play']),
    drawn([...tone, 'p1 samplePlayer', 'clk1 clock'], [heard, 'p1.left out1.right', 'clk1.beat p1.play'], { p1: { recording: 'fog' } }),
  ],
  [
    'sound-file-missing',
    'p1',
    drawn([...tone, 'p1 samplePlayer'], [heard, 'p1.left out1.right'], { p1: { recording: 'fog', loop: true } }, { recordings: file }),
    drawn([...tone, 'p1 samplePlayer'], [heard, 'p1.left out1.right'], { p1: { recording: 'fog', loop: true } }),
  ],
  [
    'no-input',
    'flt1',
    drawn([...tone, 'flt1 filter'], [heard, 'flt1.lowpass out1.right']),
    drawn([...tone, 'flt1 filter'], [heard, 'flt1.lowpass out1.right', 'osc1.saw flt1.in']),
  ],
  [
    'level-zero',
    'mix1',
    drawn([...tone, 'mix1 mixer'], ['osc1.saw mix1.in1', 'osc1.sine mix1.in2', 'mix1.sum out1.left'], { mix1: { level2: 0 } }),
    drawn([...tone, 'mix1 mixer'], ['osc1.saw mix1.in1', 'osc1.sine mix1.in2', 'mix1.sum out1.left'], { mix1: { level2: 0.1 } }),
  ],
  [
    'amount-zero',
    'osc1',
    drawn([...tone, 'lfo1 lfo'], [heard, 'lfo1.sine osc1.fmExp'], { osc1: { fmExpAmount: 0 } }),
    drawn([...tone, 'lfo1 lfo'], [heard, 'lfo1.sine osc1.fmExp'], { osc1: { fmExpAmount: 0.01 } }),
  ],
  ['unheard', 'lfo1', drawn([...tone, 'lfo1 lfo'], [heard]), drawn([...tone, 'lfo1 lfo'], [heard, 'lfo1.sine osc1.fmExp'])],
  ['several-outputs', 'out2', drawn([...tone, 'out2 output'], [heard, 'osc1.sine out2.left']), drawn(tone, [heard])],
  [
    'no-notes',
    'key1',
    drawn([...tone, 'key1 keys'], [heard, 'key1.pitch osc1.pitch']),
    drawn([...tone, 'key1 keys'], [heard, 'key1.pitch osc1.pitch'], {}, { score: [{ at: 0, note: 60, length: 1 }] }),
  ],
  ['live-only', 'in1', drawn([...tone, 'in1 external'], [heard, 'in1.left out1.right']), drawn([...tone, 'in1 external'], [heard])],
  [
    'control-unused',
    'amp1',
    drawn([...tone, 'amp1 vca'], ['osc1.saw amp1.in', 'amp1.out out1.left'], open),
    drawn([...tone, 'amp1 vca', 'lfo1 lfo'], ['osc1.saw amp1.in', 'lfo1.sine amp1.cv', 'amp1.out out1.left'], open),
  ],
  [
    'same-work',
    'lfo2',
    drawn([...tone, 'lfo1 lfo', 'lfo2 lfo'], [heard, 'lfo1.sine osc1.fmExp', 'lfo2.sine osc1.width']),
    drawn([...tone, 'lfo1 lfo', 'lfo2 lfo'], [heard, 'lfo1.sine osc1.fmExp', 'lfo2.sine osc1.width'], { lfo2: { rate: 2 } }),
  ],
  ['one-side', 'out1', drawn(tone, ['osc1.saw out1.right']), drawn(tone, [heard])],
  ['dc-block-off', 'out1', drawn(tone, [heard], { out1: { dcBlock: false } }), drawn(tone, [heard])],
  [
    'slow-gate',
    'env1',
    drawn([...tone, 'lfo1 lfo', 'env1 contour'], [heard, 'lfo1.sine env1.gate', 'env1.contour osc1.fmExp']),
    drawn([...tone, 'lfo1 lfo', 'env1 contour'], [heard, 'lfo1.square env1.gate', 'env1.contour osc1.fmExp']),
  ],
  [
    'clocks-apart',
    'lfo1',
    drawn(
      [...tone, 'clk1 clock', 'lfo1 lfo', 'env1 contour', 'env2 contour'],
      [heard, 'clk1.beat env1.gate', 'lfo1.square env2.gate', 'env1.contour osc1.fmExp', 'env2.contour osc1.width'],
      { clk1: { bpm: 120 }, lfo1: { rate: 1.87 } },
    ),
    drawn(
      [...tone, 'clk1 clock', 'lfo1 lfo', 'env1 contour', 'env2 contour'],
      [heard, 'clk1.beat env1.gate', 'lfo1.square env2.gate', 'env1.contour osc1.fmExp', 'env2.contour osc1.width'],
      { clk1: { bpm: 120 }, lfo1: { rate: 1.5 } },
    ),
  ],
  [
    'pitch-scaled',
    'mix1',
    drawn(
      [...tone, 'seq1 sequencer', 'clk1 clock', 'mix1 mixer'],
      [heard, 'clk1.beat seq1.clock', 'seq1.pitch mix1.in1', 'mix1.sum osc1.pitch'],
      { mix1: { level1: 0.5 } },
    ),
    drawn(
      [...tone, 'seq1 sequencer', 'clk1 clock', 'mix1 mixer'],
      [heard, 'clk1.beat seq1.clock', 'seq1.pitch mix1.in1', 'mix1.sum osc1.pitch'],
    ),
  ],
  [
    'feedback-grows',
    'dly1',
    drawn([...tone, 'dly1 delay'], ['osc1.saw dly1.in', 'dly1.out out1.left'], { dly1: { feedback: 1.02 } }),
    drawn([...tone, 'dly1 delay'], ['osc1.saw dly1.in', 'dly1.out out1.left'], { dly1: { feedback: 0.98 } }),
  ],
];

const found = (patch: Patch) => findings(patch, catalogue, new Set(['f'.repeat(64)]));

describe('what is looked for', () => {
  it('are more than 30 things, each with a name of its own, a severity, a line about it and a way to mend it', () => {
    expect(rules.length).toBeGreaterThan(30);
    expect(new Set(rules.map(({ id }) => id)).size).toBe(rules.length);
    expect(new Set(rules.map(({ severity }) => severity)).size).toBe(3);
    for (const { id, about, howToFix } of rules) {
      expect(id).toMatch(/^[a-z]+(-[a-z]+)*$/);
      expect(about).toMatch(/^[A-Z].*\.$/);
      expect(howToFix).toMatch(/^[A-Z].*\.$/);
    }
  });

  it('has a pair of patches for each rule about drawings', () => {
    expect(pairs.map(([rule]) => rule).sort()).toEqual(drawingRules.map(({ id }) => id).sort());
  });
});

describe.each(pairs)('%s', (rule, block, has, hasNot) => {
  it('is found, on its block and in a whole sentence', () => {
    const of = found(has).filter(({ id }) => id === rule);
    expect(of.map((finding) => finding.block)).toEqual([block]);
    expect(of[0]?.say).toMatch(/^\S.* .*\.$/);
  });

  it('is not found in the patch that has it not', () => {
    expect(found(hasNot).filter(({ id }) => id === rule)).toEqual([]);
  });
});

describe('findings that can be mended', () => {
  const fixOf = (rule: string, has: Patch) => found(has).find(({ id }) => id === rule)?.fix;
  const mendable = pairs.filter(([rule, , has]) => fixOf(rule, has));

  it.each(mendable)('%s: what is offered takes the finding away', (rule, _block, has) => {
    const mended = applyVariation(has, { id: 'mended', title: '', changes: fixOf(rule, has)?.changes ?? [] });
    expect(mended).not.toEqual(has);
    expect(found(mended).filter(({ id }) => id === rule)).toEqual([]);
  });
});

describe('what is as it should be', () => {
  it('is left alone: returns that are empty and sends that are down while nothing is patched to Send', () => {
    const mixed = drawn(
      ['osc1 oscillator', 'osc2 oscillator', 'sm1 stereoMixer', 'out1 output'],
      ['osc1.saw sm1.in1', 'osc2.saw sm1.in2', 'sm1.left out1.left', 'sm1.right out1.right'],
      { osc2: { tune: 110 } },
    );
    expect(found(mixed)).toEqual([]);
    const sent = drawn(
      ['osc1 oscillator', 'sm1 stereoMixer', 'dly1 delay', 'out1 output'],
      ['osc1.saw sm1.in1', 'sm1.send dly1.in', 'dly1.wet sm1.returnLeft', 'sm1.left out1.left', 'sm1.right out1.right'],
    );
    expect(found(sent).map(({ id, place }) => `${id} ${place?.[1]}`)).toEqual(['level-zero send1']);
  });
});

describe('tempo ratios', () => {
  it('up to 8 : 8 drift by nothing, as do whole multiples; the golden ratio drifts from all of them', () => {
    for (const ratio of [1, 2, 1.5, 4 / 3, 5 / 8, 12, 1 / 16]) expect(driftOf(ratio)).toBeLessThan(1e-12);
    // nearest is 8 : 5 = 1.6, missed by 1.1 %
    expect(driftOf((1 + Math.sqrt(5)) / 2)).toBeCloseTo(0.0112, 3);
  });
});
