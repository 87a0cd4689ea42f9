// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { drawn } from '../../../tests/support/drawn.ts';
import { engineModule } from '../../../tests/support/engine.ts';
import { specs } from '../../blocks/specs.gen.ts';
import { renderTake } from '../../engine/hosts/take.ts';
import { createCatalogue } from '../../patch/blockSpec.ts';
import type { Patch } from '../../patch/document.ts';
import type { Finding } from '../finding.ts';
import { createHearing } from '../heard.ts';
import { hearForChecks, takeFindings } from '../takeFindings.ts';
import { takeRules } from './index.ts';
import { gathered, notesOf } from './tuning.ts';

const catalogue = createCatalogue(specs);
const hearing = createHearing((each, options) => renderTake(engineModule(), specs, each, options), catalogue);
const found = (patch: Patch): Finding[] => takeFindings(hearForChecks(hearing, patch, { seconds: patch.seconds ?? 1 }));

const tone = ['osc1 oscillator', 'out1 output'];
const heard = 'osc1.saw out1.left';
const tones = drawn(tone, [heard]);
const seconds = (count: number) => ({ seconds: count });
/** Two square waves of 5 V in step: 10 V, at the output twice that. */
const loud = (settings: Patch['blocks'][number]['settings']) =>
  drawn([...tone, 'mix1 mixer'], ['osc1.pulse mix1.in1', 'osc1.pulse mix1.in2', 'mix1.sum out1.left'], { out1: settings });
const struck = (more: readonly string[], cables: readonly string[], settings: Parameters<typeof drawn>[2], length: number) =>
  drawn(['clk1 clock', ...tone, ...more], [heard, ...cables], settings, seconds(length));
const echo = (feedback: number) =>
  drawn(
    ['key1 keys', 'drum1 drum', 'soft mixer', 'dly1 delay', 'out1 output'],
    ['key1.trigger drum1.trigger', 'drum1.out soft.in1', 'soft.sum dly1.in', 'dly1.wet out1.left'],
    // a stroke of 5 mV
    { soft: { level1: 0.001 }, dly1: { time: 0.2, feedback, tone: 1, mix: 1 }, drum1: { decay: 0.02, tune: 400 }, out1: { level: 0 } },
    { ...seconds(6), score: [{ at: 0, note: 60, length: 0.1 }] },
  );
const row = (bpm: number) =>
  struck(
    ['seq1 sequencer', 'env1 contour'],
    ['clk1.beat seq1.clock', 'seq1.stepEnd env1.gate', 'env1.contour osc1.fmExp', 'seq1.pitch osc1.pitch'],
    { clk1: { bpm } },
    3,
  );
const envelope = (settings: Patch['blocks'][number]['settings']) =>
  struck(['env1 contour'], ['clk1.beat env1.gate', 'env1.contour osc1.fmExp'], { env1: settings }, 3);
const gated = (source: string, settings: Parameters<typeof drawn>[2], cable = source) =>
  drawn(
    [...tone, 'lfo1 lfo', 'att1 attenuverter', 'env1 contour'],
    [heard, 'lfo1.square att1.in', `${cable} env1.gate`, 'env1.contour out1.right'],
    settings,
    seconds(2),
  );
const wavering = (hysteresis: number) =>
  drawn(
    [...tone, 'v1 voltages', 'lfo1 lfo', 'mix1 mixer', 'q1 quantizer'],
    [heard, 'v1.out1 mix1.in1', 'lfo1.sine mix1.in2', 'mix1.sum q1.pitch', 'q1.pitch osc1.pitch'],
    // 24 cents to both sides of the middle between C and C sharp, 30 times a second
    { v1: { volts1: 0.5 / 12 }, lfo1: { rate: 30 }, mix1: { level2: 0.004 }, q1: { hysteresis } },
  );
const held = (rate: number) =>
  struck(
    ['lfo1 lfo', 'hold1 sampleHold'],
    ['clk1.beat hold1.trigger', 'lfo1.sine hold1.in', 'hold1.out osc1.fmExp'],
    { lfo1: { rate } },
    4,
  );
const opened = (level: number) =>
  drawn([...tone, 'amp1 vca', 'lfo1 lfo'], ['osc1.saw amp1.in', 'lfo1.sine amp1.cv', 'amp1.out out1.left'], {
    amp1: { level },
    lfo1: { range: 'unipolar' },
  });
const swept = (cutoff: number) =>
  drawn([...tone, 'flt1 filter', 'lfo1 lfo'], ['osc1.saw flt1.in', 'lfo1.sine flt1.cv', 'flt1.lowpass out1.left'], {
    flt1: { cutoff, cvAmount: 0.2 },
    lfo1: { range: 'unipolar', rate: 3 },
  });
const tuned = (fine: number) =>
  struck(['seq1 sequencer'], ['clk1.beat seq1.clock', 'seq1.pitch osc1.pitch'], { osc1: { tune: 440, fine } }, 2);
const multiplied = (wave: string) =>
  drawn(
    ['osc1 oscillator', 'osc2 oscillator', 'ring1 ringmod', 'out1 output'],
    [`osc1.${wave} ring1.x`, `osc2.${wave} ring1.y`, 'ring1.out out1.left'],
    {
      osc1: { tune: 6000 },
      osc2: { tune: 7100 },
    },
  );

/** Rule, the block it is pinned to, a patch that has it, one that has not. */
const pairs: readonly (readonly [rule: string, block: string, has: Patch, hasNot: Patch])[] = [
  ['silent-take', 'out1', drawn([...tone, 'amp1 vca'], ['osc1.saw amp1.in', 'amp1.out out1.left']), tones],
  ['direct-voltage', 'out1', drawn(['v1 voltages', 'out1 output'], ['v1.out1 out1.left'], { v1: { volts1: 3 } }), tones],
  [
    'clipped',
    'mix1',
    drawn([...tone, 'mix1 mixer'], ['osc1.sine mix1.in1', 'osc1.sine mix1.in2', 'osc1.sine mix1.in3', 'mix1.sum out1.left']),
    drawn([...tone, 'mix1 mixer'], ['osc1.sine mix1.in1', 'osc1.sine mix1.in2', 'mix1.sum out1.left']),
  ],
  [
    'below-hearing',
    'out1',
    drawn(['lfo1 lfo', 'out1 output'], ['lfo1.sine out1.left'], { lfo1: { rate: 12 }, out1: { level: 0 } }),
    drawn(['lfo1 lfo', 'out1 output'], ['lfo1.sine out1.left'], { lfo1: { rate: 60 }, out1: { level: 0 } }),
  ],
  ['very-loud', 'out1', loud({ level: 0 }), tones],
  ['very-soft', 'out1', drawn(tone, [heard], { out1: { level: -40 } }), tones],
  ['ceiling-busy', 'out1', loud({ level: 0 }), loud({ level: -6 })],
  ['over-full-scale', 'out1', loud({ level: 3, ceiling: false }), loud({ level: -6, ceiling: false })],
  [
    'mono-cancels',
    'out1',
    drawn([...tone, 'mix1 mixer'], ['osc1.saw mix1.in1', 'mix1.sum out1.left', 'mix1.inverted out1.right']),
    drawn([...tone, 'mix1 mixer'], ['osc1.saw mix1.in1', 'mix1.sum out1.left', 'mix1.sum out1.right']),
  ],
  [
    'stereo-is-mono',
    'pan1',
    drawn([...tone, 'pan1 pan'], ['osc1.saw pan1.in', 'pan1.left out1.left', 'pan1.right out1.right']),
    drawn([...tone, 'pan1 pan'], ['osc1.saw pan1.in', 'pan1.left out1.left', 'pan1.right out1.right'], { pan1: { position: 0.2 } }),
  ],
  ['long-silence', 'out1', { ...echo(0), seconds: 6 }, tones],
  ['level-grows', 'dly1', echo(1.1), echo(0.6)],
  ['gate-too-low', 'env1', gated('att1.out', { att1: { gain: 0.2 } }), gated('att1.out', {})],
  ['gate-never-falls', 'env1', gated('att1.out', { att1: { gain: 0.3, offset: 4 } }), gated('att1.out', {})],
  ['never-fires', 'seq1', row(60), row(240)],
  ['gate-too-short', 'osc1', gated('osc1.pulse', { osc1: { tune: 20, width: 0.01 } }), gated('osc1.pulse', { osc1: { tune: 20 } })],
  ['gate-at-audio-rate', 'env1', gated('osc1.pulse', { osc1: { tune: 440 } }), gated('osc1.pulse', { osc1: { tune: 20 } })],
  ['row-not-reached', 'seq1', row(60), row(240)],
  ['envelope-no-rest', 'env1', envelope({ decay: 2 }), envelope({ decay: 0.2 })],
  [
    'envelope-no-peak',
    'env1',
    envelope({ shape: 'asr', attack: 1, release: 0.05 }),
    envelope({ shape: 'asr', attack: 0.1, release: 0.05 }),
  ],
  ['note-flicker', 'q1', wavering(0), wavering(45)],
  ['same-value-held', 'hold1', held(2), held(0.7)],
  [
    'still-control',
    'osc1',
    drawn([...tone, 'v1 voltages'], [heard, 'v1.out1 osc1.fmExp']),
    drawn([...tone, 'v1 voltages'], [heard, 'v1.out1 osc1.fmExp'], { v1: { volts1: 1 } }),
  ],
  [
    'probe-still',
    'v1',
    { ...drawn([...tone, 'v1 voltages'], [heard]), probes: [{ at: ['v1', 'out1'] }] },
    { ...tones, probes: [{ at: ['osc1', 'saw'] }] },
  ],
  ['beyond-range', 'amp1', opened(0.5), opened(0)],
  ['pinned', 'flt1', swept(20000), swept(500)],
  ['off-pitch', 'osc1', tuned(20), tuned(3)],
  [
    'off-scale',
    'osc1',
    struck(['rnd1 random'], ['clk1.beat rnd1.clock', 'rnd1.stepped osc1.pitch'], { rnd1: { spread: 1 } }, 6),
    struck(
      ['rnd1 random', 'q1 quantizer'],
      ['clk1.beat rnd1.clock', 'rnd1.stepped q1.pitch', 'q1.pitch osc1.pitch'],
      { rnd1: { spread: 1 }, osc1: { tune: 440 } },
      6,
    ),
  ],
  ['foldback', 'ring1', multiplied('saw'), multiplied('sine')],
];

describe('what is looked for in takes', () => {
  it('has a pair of patches for each rule, but for faults, which no block of ours makes', () => {
    expect([...pairs.map(([rule]) => rule), 'fault'].sort()).toEqual(takeRules.map(({ id }) => id).sort());
  });

  it('names a block that turned into no number', () => {
    const broken = { ...hearing, hear: (...args: Parameters<typeof hearing.hear>) => ({ ...hearing.hear(...args), faults: ['osc1'] }) };
    expect(takeFindings(hearForChecks(broken, tones, { seconds: 0.1 }))).toMatchObject([{ id: 'fault', severity: 'error', block: 'osc1' }]);
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

describe('the figures in the sentences follow from theory', () => {
  it.each([
    ['direct-voltage', '1.5 V', '3 V at -6.02 dB', 'v1.out1 out1.left', { v1: { volts1: 3 }, out1: { level: -6.0206 } }],
    [
      'below-hearing',
      '3.236 V',
      '5 V / sqrt 2, through the dc block at 5 Hz (12 / 13) and order 4 at 20 Hz (0.9917)',
      'lfo1.sine out1.left',
      { lfo1: { rate: 12 }, out1: { level: 0 } },
    ],
  ] as const)('%s: %s is %s', (rule, figure, _theory, cable, settings) => {
    const source = cable.startsWith('v1') ? 'v1 voltages' : 'lfo1 lfo';
    const [of] = found(drawn([source, 'out1 output'], [cable], settings, seconds(10))).filter(({ id }) => id === rule);
    const volts = Number(/([\d.]+) V/.exec(of?.say ?? '')?.[1]);
    expect(volts / Number.parseFloat(figure)).toBeCloseTo(1, 2);
  });

  it.each([
    ['mono-cancels', 'correlation -1'],
    ['gate-at-audio-rate', '440 edges a second'],
    // a hundredth of a twentieth of a second, and a little for its band-limited edges
    ['gate-too-short', 'last 0.50'],
    // at 0, 1 and 2 seconds
    ['row-not-reached', '3 of the 8 steps'],
    // 8 V open an amplifier by 1: 0.5 more than there is
    ['beyond-range', 'beyond 1, by 50 % of its range'],
    ['pinned', '20 kHz'],
    ['envelope-no-peak', 'its attack of 1 s'],
    // three sines of 5 V are beyond 12 V for 1 - 2 asin(0.8) / pi = 41 % of the time
    ['clipped', 'for 41 % of the take'],
  ])('%s: %s', (rule, words) => {
    const has = pairs.find(([id]) => id === rule)?.[2];
    expect(has && found(has).find(({ id }) => id === rule)?.say).toContain(words);
  });

  it('off-pitch: 20 cents of fine tuning are 20 cents', () => {
    expect(found(tuned(20)).find(({ id }) => id === 'off-pitch')?.say).toMatch(/ (20|19\.9|20\.1) cents above/);
  });
});

describe('takes that leave little to look at', () => {
  it.each([
    ['no time at all', tones, 0],
    ['a millisecond', tones, 0.001],
    ['a fifth of a second', tones, 0.2],
    ['no blocks', drawn([], []), 1],
    ['no output', drawn(['osc1 oscillator'], []), 1],
  ])('are looked at without a stumble: %s', (_title, patch, length) => {
    const all = takeFindings(hearForChecks(hearing, patch, { seconds: length }));
    expect(all.filter(({ severity }) => severity !== 'hint').map(({ id }) => id)).toEqual([]);
    for (const { say } of all) expect(say).not.toMatch(/NaN|Infinity|undefined/);
  });

  it('say nothing of what folds back where the take has quality 4 already', () => {
    const ids = (quality: 1 | 4) => takeFindings(hearForChecks(hearing, multiplied('saw'), { seconds: 1, quality })).map(({ id }) => id);
    expect(ids(1)).toContain('foldback');
    expect(ids(4)).not.toContain('foldback');
  });
});

describe('the notes of a wave', () => {
  const rate = 48000;
  const wave = (hertz: (time: number) => number, length: number): Float32Array => {
    let phase = 0;
    return Float32Array.from({ length: length * rate }, (_, i) => {
      phase += hertz(i / rate) / rate;
      return Math.sin(2 * Math.PI * phase);
    });
  };

  it('are told to a tenth of a cent, also with vibrato, and a glide is none', () => {
    const cents = (hertz: number, from: number): number => 1200 * Math.log2(hertz / from);
    const notes = notesOf(
      wave((time) => (time < 0.5 ? 440 : 466.1638), 1),
      rate,
    );
    expect(notes).toHaveLength(2);
    expect(cents(notes[0]?.hertz ?? 0, 440)).toBeCloseTo(0, 1);
    expect(cents(notes[1]?.hertz ?? 0, 466.1638)).toBeCloseTo(0, 1);
    const [vibrato] = notesOf(
      wave((time) => 440 * 2 ** ((0.3 / 12) * Math.sin(2 * Math.PI * 5 * time)), 2),
      rate,
    );
    expect(Math.abs(cents(vibrato?.hertz ?? 0, 440))).toBeLessThan(1);
    expect(
      notesOf(
        wave((time) => 200 * 2 ** (4 * time), 1),
        rate,
      ),
    ).toEqual([]);
  });

  it('are told from equal temperament by theory: 446 Hz is 23.4 cents above A4, and -49 and 49 cents lie together', () => {
    const at = (cents: number) => ({ hertz: 440 * 2 ** (cents / 1200), seconds: 1 });
    expect(gathered([{ hertz: 446, seconds: 1 }]).cents).toBeCloseTo(1200 * Math.log2(446 / 440), 6);
    expect(Math.abs(gathered([at(49), at(-49)]).cents)).toBeCloseTo(50, 6);
    expect(gathered([at(0), at(25), at(50), at(75)]).together).toBeCloseTo(0, 6);
  });
});
