// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { drawn } from '../../../tests/support/drawn.ts';
import { hearing } from '../../../tests/support/hearing.ts';
import type { Patch } from '../../patch/document.ts';
import { questions } from '../questions.ts';
import { silence } from './index.ts';

const ask = (patch: Patch) => silence(hearing, patch, { seconds: 0.5 });
const first = (patch: Patch) => ask(patch).findings[0];

/** A horn through an amplifier that an envelope opens at each beat. */
const blocks = ['horn oscillator', 'amp vca', 'env contour', 'clk clock', 'out output'];
const cables = ['horn.saw amp.in', 'env.contour amp.cv', 'clk.beat env.gate', 'amp.out out.left'];
const without = (...gone: string[]): string[] => cables.filter((cable) => !gone.includes(cable));

describe('what is silent', () => {
  it('a patch that sounds is not', () => {
    expect(ask(drawn(blocks, cables))).toMatchObject({ silent: false, findings: [], tried: false });
  });

  it('next to nothing is, by 60 dB below full scale (our choice): 5 V at 1 kHz stay 9 dB below it, another 45 dB do not suffice, 60 do', () => {
    const horn = (level: number) =>
      drawn(['horn oscillator', 'out output'], ['horn.sine out.left'], { horn: { tune: 1000 }, out: { level } });
    expect(ask(horn(-45)).silent).toBe(false);
    expect(ask(horn(-60))).toMatchObject({ silent: true, findings: [{ id: 'output-low', block: 'out' }], tried: true });
    expect(ask(horn(-60)).level).toBeCloseTo(-69, 0);
  });

  it('is a question that can be asked across threads', () => {
    const answer = questions.silence(hearing, drawn(blocks, without('clk.beat env.gate')), { seconds: 0.5 });
    expect(structuredClone(answer)).toEqual(answer);
  });
});

describe('sentences', () => {
  it.each<[string, Patch, string]>([
    [
      'a gate that is too low, with how high it gets',
      drawn([...blocks, 'att attenuverter'], [...without('clk.beat env.gate'), 'clk.beat att.in', 'att.out env.gate'], {
        att: { gain: 0.1 },
      }),
      'env never starts: what comes to its input "Gate", fed by att, reaches 0.8 V at most, and a gate counts from 1.5 V.',
    ],
    [
      'an amplifier whose control input rests at 0 V',
      drawn([...blocks, 'rest voltages'], [...without('env.contour amp.cv'), 'rest.out1 amp.cv']),
      'amp stays closed: its "Level" is at 0, and what comes to its input "CV", fed by rest, stays at 0 V.',
    ],
    [
      'one that opens too little for its law',
      drawn([...blocks, 'rest voltages'], [...without('env.contour amp.cv'), 'rest.out1 amp.cv'], {
        rest: { volts1: 1.5 },
        amp: { response: 'exponential' },
      }),
      'amp hardly opens: its "Level" is at 0, and what comes to its input "CV", fed by rest, reaches 1.5 V at most.',
    ],
    [
      'signals that cancel',
      drawn([...blocks, 'mix mixer'], [...without('amp.out out.left'), 'amp.out mix.in1', 'amp.out mix.in3', 'mix.sum out.left'], {
        mix: { level3: -1 },
      }),
      'What comes to mix at "In 1" (amp) and "In 3" (amp) is opposite: added up, it cancels to nothing.',
    ],
    [
      'a level that a hand holds down',
      drawn(
        [...blocks, 'mix mixer'],
        [...without('amp.out out.left'), 'amp.out mix.in1', 'mix.sum out.left'],
        {},
        { moves: [{ block: 'mix', setting: 'level1', points: [[0, 0]] }] },
      ),
      '"Level 1" of mix is moved by hand and stays at 0, so what comes from amp stops there.',
    ],
    [
      'direct voltage',
      drawn(['rest voltages', 'out output'], ['rest.out1 out.left'], { rest: { volts1: 3 } }),
      'Only direct voltage comes to out, 3 V from rest, and a voltage that stands still makes no sound.',
    ],
    [
      'an input that rests',
      drawn(['rest voltages', 'flt filter', 'out output'], ['rest.out1 flt.in', 'flt.lowpass out.left']),
      'flt gets no sound: what comes to its input "In", fed by rest, stays at 0 V.',
    ],
    [
      'a threshold out of reach',
      drawn([...blocks, 'cmp comparator', 'lfo lfo'], [...without('clk.beat env.gate'), 'lfo.triangle cmp.in', 'cmp.gate env.gate'], {
        cmp: { threshold: 6 },
        lfo: { rate: 4 },
      }),
      'cmp never goes high: what it watches goes from -5 to 5 V and never reaches its "Threshold" of 6 V.',
    ],
    [
      'an amplifier that opens when nothing comes',
      drawn(
        [...blocks, 'gap voltages', 'gate2 lfo', 'inv attenuverter', 'amp2 vca'],
        ['horn.saw amp2.in', 'gate2.square amp2.cv', 'gate2.square inv.in', 'amp2.out amp.in', 'inv.out amp.cv', 'amp.out out.left'],
        { gate2: { rate: 2 }, inv: { gain: -1 } },
      ),
      'Sound comes to amp, and it opens, but never at the same time.',
    ],
  ])('%s', (_title, patch, say) => {
    expect(first(patch)?.say).toBe(say);
  });

  it('names all that wait for each other', () => {
    const circle = drawn(['amp vca', 'flt filter', 'out output'], ['amp.out flt.in', 'flt.lowpass amp.in', 'flt.lowpass out.left'], {
      amp: { level: 1 },
    });
    expect(first(circle)?.say).toBe('flt and amp only feed each other: a loop needs a sound or a voltage that comes in from outside it.');
  });

  it('a sound file that is not there', () => {
    const player = drawn(
      ['tape samplePlayer', 'out output'],
      ['tape.left out.left'],
      { tape: { recording: 'surf', loop: true } },
      {
        recordings: [{ id: 'surf', name: 'Surf', sha256: 'ab', seconds: 1 }],
      },
    );
    const [finding] = silence(hearing, player, { seconds: 0.5, missing: ['ab'] }).findings;
    expect(finding).toMatchObject({
      id: 'sound-file-missing',
      block: 'tape',
      say: 'The sound file "Surf" of tape is not in this notebook: choose it again in its settings.',
    });
  });

  it('a tone above hearing, with what moves it there', () => {
    const high = drawn(
      ['horn oscillator', 'rest voltages', 'flt ladder', 'out output'],
      ['rest.out1 horn.pitch', 'horn.sine flt.in', 'flt.lowpass24 out.left'],
      { rest: { volts1: 8 }, flt: { cutoff: 500 } },
    );
    expect(first(high)?.say).toBe(
      'horn is tuned too high to be heard, above 15 kHz, because what comes to its input "Pitch", fed by rest, moves it there.',
    );
  });

  it('says so where it cannot tell', () => {
    // The row of inputs stays on the first, as nothing comes to its clock; its spec does not say which input passes.
    const patch = drawn(['horn oscillator', 'row choose', 'out output'], ['horn.saw row.in3', 'row.out out.left']);
    expect(first(patch)).toMatchObject({ id: 'unknown', block: 'row', say: 'Sound goes into row and none comes out; I cannot tell why.' });
    expect(ask(patch).tried).toBe(false);
  });
});

describe('edits', () => {
  it('are tried before they are called a remedy', () => {
    expect(ask(drawn(blocks, cables, { amp: { cvAmount: -1 } }))).toMatchObject({
      tried: true,
      findings: [{ id: 'cv-negative', place: ['amp', 'cvAmount'], fix: { changes: [{ set: ['amp', 'cvAmount'], value: 1 }] } }],
    });
  });

  it('several that are all needed are named one after the other, nearest to the output first', () => {
    const patch = drawn(blocks, cables, { out: { level: -60 }, amp: { cvAmount: 0 } });
    const answer = ask(patch);
    expect(answer.findings.map(({ id, block }) => `${id} ${block}`)).toEqual(['amount-zero amp', 'output-low out']);
    expect(answer.tried).toBe(true);
  });

  it('a missing cable is run only where one output alone can be meant', () => {
    const one = drawn(blocks, without('amp.out out.left'));
    expect(first(one)?.fix?.changes).toEqual([{ connect: { from: ['amp', 'out'], to: ['out', 'left'] } }]);
    const two = drawn([...blocks, 'amp2 vca'], without('amp.out out.left'));
    expect(first(two)).toMatchObject({ id: 'output-unpatched' });
    expect(first(two)?.fix).toBeUndefined();
  });

  it('a gate that is too low is turned up where it was turned down', () => {
    const low = drawn([...blocks, 'att attenuverter'], [...without('clk.beat env.gate'), 'clk.beat att.in', 'att.out env.gate'], {
      att: { gain: 0.1 },
    });
    expect(ask(low)).toMatchObject({
      tried: true,
      findings: [{ id: 'gate-low', block: 'env', fix: { changes: [{ set: ['att', 'gain'], value: 1 }] } }],
    });
  });

  it('none is offered for a setting that a hand moves during the take', () => {
    const moved = drawn(blocks, cables, {}, { moves: [{ block: 'out', setting: 'level', points: [[0, -60]] }] });
    expect(first(moved)).toMatchObject({
      id: 'output-low',
      say: '"Level" of out is moved by hand and stays at -60 dB, so what arrives there cannot be heard.',
    });
    expect(first(moved)?.fix).toBeUndefined();
  });
});
