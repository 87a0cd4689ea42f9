// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { drawn } from '../../../tests/support/drawn.ts';
import { engineModule } from '../../../tests/support/engine.ts';
import { specs } from '../../blocks/specs.gen.ts';
import { renderTake } from '../../engine/hosts/take.ts';
import { createCatalogue } from '../../patch/blockSpec.ts';
import type { Patch } from '../../patch/document.ts';
import { createHearing } from '../heard.ts';
import { type Complaint, complaints, reasons } from './index.ts';

const catalogue = createCatalogue(specs);
const hearing = createHearing((each, options) => renderTake(engineModule(), specs, each, options), catalogue);
const ask = (complaint: Complaint, patch: Patch, seconds = 1) => reasons(hearing, patch, { complaint, seconds });
const ids = (complaint: Complaint, patch: Patch, seconds?: number): string[] =>
  ask(complaint, patch, seconds).findings.map(({ id, block }) => `${id} ${block}`);

const tone = ['osc1 oscillator', 'out1 output'];
const sine = drawn(tone, ['osc1.sine out1.left'], { osc1: { tune: 440 } });
const mixed = (count: number, settings: Parameters<typeof drawn>[2] = {}) =>
  drawn(
    [...tone, 'mix1 mixer', 'flt1 filter'],
    [...Array.from({ length: count }, (_, i) => `osc1.sine mix1.in${i + 1}`), 'mix1.sum flt1.in', 'flt1.lowpass out1.left'],
    { flt1: { cutoff: 20000 }, ...settings },
  );
const beaten = (more: readonly string[], cables: readonly string[], settings: Parameters<typeof drawn>[2] = {}) =>
  drawn([...tone, 'clk1 clock', 'env1 contour', ...more], ['osc1.sine out1.left', 'env1.contour osc1.width', ...cables], settings);

describe('questions about what is heard', () => {
  it.each(Object.keys(complaints) as Complaint[])('say that they cannot tell where nothing fits: %s', (complaint) => {
    const { say, findings } = ask(complaint, drawn(tone, ['osc1.sine out1.left'], { osc1: { tune: 440 }, out1: { level: 0 } }));
    expect(findings).toEqual([]);
    expect(say).toMatch(/I cannot tell/);
  });
});

describe('why is it so loud', () => {
  it('names what adds most first: two sines in step are 6 dB louder than one (theory), a level of 5 dB is 5 dB', () => {
    const { findings, say } = ask('loud', mixed(2, { out1: { level: 5 } }));
    expect(findings.slice(0, 2).map(({ block }) => block)).toEqual(['mix1', 'out1']);
    expect(findings[0]?.say).toMatch(/6\.02 dB/);
    expect(say).toMatch(/LUFS, true peak/);
  });

  it('says that a soft take is not loud', () => {
    expect(ask('loud', drawn(tone, ['osc1.sine out1.left'], { out1: { level: -30 } }))).toMatchObject({
      findings: [],
      say: expect.stringMatching(/That is not loud/),
    });
  });

  it('names the echo that grows before all else', () => {
    const grows = drawn(
      ['key1 keys', 'drum1 drum', 'soft mixer', 'dly1 delay', 'out1 output'],
      ['key1.trigger drum1.trigger', 'drum1.out soft.in1', 'soft.sum dly1.in', 'dly1.wet out1.left'],
      { soft: { level1: 0.01 }, dly1: { time: 0.2, feedback: 1.1, tone: 1, mix: 1 }, drum1: { decay: 0.02 } },
      { score: [{ at: 0, note: 60, length: 0.1 }] },
    );
    expect(ids('loud', grows, 4)[0]).toBe('level-grows dly1');
  });
});

describe('why is it so distorted', () => {
  it('names the block at which the clipping begins, not those behind it', () => {
    expect(ids('distorted', mixed(3))).toEqual(['clipped mix1']);
  });

  it('names the input that is driven, by how much', () => {
    const driven = drawn([...tone, 'ldr1 ladder'], ['osc1.sine ldr1.in', 'ldr1.lowpass24 out1.left'], {
      ldr1: { drive: 20, cutoff: 20000 },
    });
    expect(ask('distorted', driven).findings[0]).toMatchObject({ id: 'bends', block: 'ldr1', place: ['ldr1', 'drive'] });
    expect(ask('distorted', driven).findings[0]?.say).toMatch(/5 V arrive and are driven by 20 dB/);
  });

  it('says what is made to bend waves, last', () => {
    const folded = drawn([...tone, 'fold1 wavefolder'], ['osc1.sine fold1.in', 'fold1.out out1.left'], { fold1: { fold: 0.2 } });
    expect(ids('distorted', folded).at(-1)).toBe('shapes fold1');
  });
});

describe('why is it so out of tune', () => {
  it('measures what an oscillator plays: 20 cents of fine tuning are 20 cents', () => {
    const { findings, say } = ask('outOfTune', drawn(tone, ['osc1.saw out1.left'], { osc1: { tune: 440, fine: 20 } }));
    expect(findings[0]).toMatchObject({ id: 'off-pitch', block: 'osc1' });
    expect(say).toMatch(/Oscillator \+20/);
  });

  it('names two that beat', () => {
    const pair = drawn(['osc1 oscillator', 'osc2 oscillator', 'out1 output'], ['osc1.saw out1.left', 'osc2.saw out1.right'], {
      osc1: { tune: 440, fine: -4 },
      osc2: { tune: 220, fine: 4 },
    });
    expect(ask('outOfTune', pair).findings.map(({ say }) => say)).toEqual([
      'Oscillator 2 is 8 cents above Oscillator: together they beat.',
    ]);
  });

  it('names what moves a pitch far', () => {
    const vibrato = drawn([...tone, 'lfo1 lfo'], ['osc1.saw out1.left', 'lfo1.sine osc1.fmExp'], { osc1: { tune: 440, fmExpAmount: 0.1 } });
    // 10 V from end to end at 0.1 octaves per volt
    expect(ask('outOfTune', vibrato).findings.map(({ say }) => say)).toContain(
      '"Exponential FM" of Oscillator moves its pitch over 12 semitones.',
    );
  });
});

describe('why is it so off the beat', () => {
  it('names a second clock, swing, delays, lots and slow attacks, in this order', () => {
    const patch = beaten(
      ['gdly1 gateDelay', 'lfo1 lfo', 'env2 contour', 'luck1 chance', 'env3 contour'],
      [
        'clk1.eighth gdly1.in',
        'gdly1.out env1.gate',
        'lfo1.square env2.gate',
        'env2.contour osc1.fmExp',
        'clk1.beat luck1.in',
        'luck1.a env3.gate',
        'env3.contour osc1.fmLin',
      ],
      { clk1: { swing: 0.66 }, gdly1: { delay: 0.03 }, lfo1: { rate: 1.87 }, env3: { attack: 0.2 } },
    );
    const { findings, say } = ask('offBeat', patch, 3);
    expect(findings.map(({ id, block }) => `${id} ${block}`).slice(0, 5)).toEqual([
      'clocks-apart lfo1',
      'swings clk1',
      'delays-gates gdly1',
      'gates-by-lot luck1',
      'rises-late env3',
    ]);
    expect(say).toBe('Beats a minute: Clock 120, LFO 112.');
  });
});

it('answers are plain data that threads can hand on', () => {
  const answer = ask('loud', sine);
  expect(structuredClone(answer)).toEqual(answer);
});
