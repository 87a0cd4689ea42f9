// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { fullCatalogue, hearing } from '../../../tests/support/hearing.ts';
import { type SketchedBlocks, sketched } from '../../../tests/support/sketched.ts';
import { demoPatches } from '../../notebook/demo/index.ts';
import type { Patch } from '../../patch/document.ts';
import { explain, explainPatch } from './explain.ts';

const told = (patch: Patch): string =>
  explain(hearing, patch, {})
    .sentences.map(({ say }) => say)
    .join('\n');
const demo = (title: string): Patch => {
  const found = demoPatches(fullCatalogue).find((patch) => patch.title === title);
  if (!found) throw new Error(`There is no demo patch "${title}".`);
  return found;
};

/**
 * Facts that a teacher has to be able to rely on, written down from the patches before there was any text. Figures by hand: a row of
 * volts on a tone tuned to A2 is A2 and 12 semitones a volt; 96 bpm are 3.2 eighth notes a second; 0.07 Hz are one cycle in 14.3 s.
 */
describe('what is said of the demo patches', () => {
  it.each<[string, readonly (string | RegExp)[], readonly RegExp[], readonly string[]]>([
    [
      'Ferry lights',
      [
        /^Three oscillators sound together: Low voice \(saw\), Middle voice \(saw, a fifth above Low voice.*\) and High voice \(pulse, an octave above Low voice/,
        'mixed in Voices, filtered by Lantern (four-pole low-pass filter, 640 Hz',
        'sent to Out',
        'row of eight steps on Low voice, Middle voice and High voice: A2 C3 E3 G3 A3 G3 E3 D3 (on Low voice)',
        'Ferry clock beats at 96 bpm',
        'At each eighth note of Ferry clock (3.2 a second), Eight steps goes one step on',
        'the envelope Pluck shape (2 ms up, 240 ms down) begins',
        // 10 V of the square, a third octave per volt: the cross-fade reaches both ends
        'Morph, a cross-fade between the triangle and the square of Beacon (0.8 Hz), moves the cutoff of Lantern (over 3 octaves)',
        'Tide (triangle, once in 14.3 s) opens Open A while its inverted copy closes Open B',
      ],
      [/lot|loop|noise|tremolo/i],
      ['crossfade-by-inverted-copy: Open A and Open B'],
    ],
    [
      'Buoys',
      [
        /^Three two-pole filters close to oscillation ring when they are struck/,
        // 293.66 Hz is D4, 440 Hz A4, 659.26 Hz E5 (equal temperament, A4 = 440 Hz)
        /Green buoy \(band-pass, 294 Hz, D4\).*Red buoy \(band-pass, 440 Hz, A4\).*Yellow buoy \(band-pass, 659 Hz, E5\)/,
        'Port to the left and Starboard to the right',
        'row of three steps on Yellow buoy: E5 C5 G5',
        'Swell beats at 104 bpm',
        /each third eighth note of Swell.*Green buoy is struck/,
        /each fourth eighth note of Swell.*Red buoy is struck/,
        /each fifth eighth note of Swell.*Yellow buoy is struck/,
      ],
      [/oscillator|envelope|by lot/i],
      ['struck-filter: Green buoy', 'struck-filter: Red buoy', 'struck-filter: Yellow buoy', 'divided-clock: Waves'],
    ],
    [
      'Customs house bell',
      [
        /^Two oscillators sound together: Hum \(sine\) and Bell \(sine, an octave above Hum\)/,
        'shaped in loudness by Ring out',
        'row of eight steps on Clapper, Bell and Hum: A3 F#3 E3 C#3 A3 F#3 B3 B2 (on Hum)',
        'Tower clock beats at 84 bpm',
        // a beat is 0.714 s
        /At each second beat of Tower clock \(counted by Every second, one in 1.43 s\), Hours goes one step on/,
        'the envelopes Colour (1 ms up, 1.1 s down) and Ring (1 ms up, 2.4 s down) begin',
        'Clapper is tuned to 1.4 times the frequency of Bell',
        'The envelope Ring opens Ring out',
        'The envelope Colour opens Strike',
      ],
      [/filter|by lot|vibrato/i],
      ['modulation-depth: Strike', 'audio-rate-fm: Clapper and Bell'],
    ],
    [
      'Pilot\u2019s tune',
      [
        /^Two oscillators sound together: Leader \(triangle\) and Follower \(saw, synced to Leader\)/,
        'Window (keyboard) plays the pitch of Leader and Follower',
        // notes 62 to 74
        'The take plays 22 notes on Window, between D4 and D5',
        'Leader restarts Follower at each of its cycles (hard sync)',
        // 5 V x 0.004 x 1200 cents a volt
        'Vibrato (sine, 5.2 Hz) through Little moves the pitch of Leader and Follower (24 cents up and down)',
        // 8 V x 0.25 octaves a volt
        'The envelope Sweep moves the pitch of Follower (over 2 octaves)',
        'The envelope Bow opens Bellows',
        'The velocity of Window moves the cutoff of Window pane',
      ],
      [/bpm|by lot|steps/i],
      ['vibrato: Vibrato', 'louder-and-brighter: Bow', 'sync-sweep: Leader and Follower'],
    ],
    [
      'Surf under the window',
      [
        /^Noise comes from Sea \(pink and red\)/,
        'Sea is filtered by Near shore and Far shore (two-pole filters) and shaped in loudness by Near swell and Far swell',
        'Left to the left and Right to the right',
        // level 0.06 and 0.9 at 8 V; 8 V x 0.5 octaves a volt
        /Near wave \(triangle, about once in [\d.]+ s\) moves the loudness of Near swell \(from 6 % to 96 %\) and the cutoff of Near shore \(over 4 octaves\)/,
        /Far wave \(triangle, .*\) moves the loudness of Far swell .* and the cutoff of Far shore/,
        /Near wave \(sine, .*\) moves the speed of Far wave/,
        /Far wave \(sine, .*\) moves the speed of Near wave/,
        'Near wave and Far wave form a loop',
      ],
      [/oscillator|bpm|envelope|pitch/i],
      ['louder-and-brighter: Near wave', 'louder-and-brighter: Far wave', 'ring-of-modulators: Near wave and Far wave'],
    ],
    [
      'Walk along the quay',
      [
        /^One oscillator sounds: Steps \(pulse and triangle\)/,
        'filtered by Fog (four-pole low-pass filter, 520 Hz',
        'row of 16 steps on Steps: A2 C3 D3 E3 G3 A3 C4 D4 E4 D4 C4 A3 G3 E3 D3 C3',
        'Footsteps beats at 132 bpm',
        'At each eighth note of Footsteps (4.4 a second), Coin takes a new random voltage and Quay goes one step on',
        'the envelope Tread shape (4 ms up, 500 ms down) begins',
        // 8 V x 0.3 octaves a volt
        /The envelope Tread shape opens Tread .* and moves the cutoff of Fog \(over 2\.4 octaves\)/,
        'The random voltage of Coin through Even odds moves the direction of Quay',
        /Coin draws by lot.*\(7\)/,
      ],
      [/loop|vibrato/i],
      ['louder-and-brighter: Tread shape', 'random-walk: Coin and Quay'],
    ],
  ])('%s', (title, facts, wrong, constructions) => {
    const patch = demo(title === 'Pilot\u2019s tune' ? "Pilot's tune" : title);
    const { sentences, constructions: found } = explain(hearing, patch, {});
    const text = sentences.map(({ say }) => say).join('\n');
    for (const fact of facts) typeof fact === 'string' ? expect(text).toContain(fact) : expect(text).toMatch(fact);
    for (const lie of wrong) expect(text).not.toMatch(lie);
    expect(found.map(({ id, where }) => `${id}: ${where}`)).toEqual(constructions);
  });
});

const out = { out1: 'output' } as const;

describe('what is said of small patches', () => {
  const says = (blocks: SketchedBlocks, cables: string, rest: Partial<Patch> = {}): string => told(sketched(blocks, cables, rest));

  it('nothing of an empty one', () => {
    expect(explain(hearing, { blocks: [], cables: [] }, {}).sentences).toEqual([]);
  });

  it('why nothing is heard comes first', () => {
    expect(says({ osc1: 'oscillator', amp1: 'vca', ...out }, 'osc1.saw > amp1.in, amp1.out > out1.left')).toMatch(
      /^Nothing is heard: Amplifier is silent/,
    );
  });

  it('intervals by the tuning, and the note that a lone tone plays', () => {
    const tuned = (hertz: number): string =>
      says(
        { osc1: ['oscillator', { tune: 220 }], osc2: ['oscillator', { tune: hertz }], mix1: 'mixer', ...out },
        'osc1.saw > mix1.in1, osc2.saw > mix1.in2, mix1.sum > out1.left',
      );
    expect(tuned(220)).toContain('Oscillator 2 (saw, at the same pitch as Oscillator)');
    expect(tuned(220 * 2 ** (4 / 12))).toContain('a major third above Oscillator');
    expect(tuned(660)).toContain('an octave and a fifth above Oscillator, 2 cents sharp');
    expect(tuned(880)).toContain('two octaves above Oscillator');
    expect(tuned(220 * Math.SQRT2 ** 0.92)).toContain('at 1.38 times the frequency of Oscillator');
    expect(says({ osc1: ['oscillator', { tune: 440 }], ...out }, 'osc1.saw > out1.left')).toContain(
      'One oscillator sounds: Oscillator (saw, 440 Hz, A4)',
    );
  });

  it('rests and other directions of a row', () => {
    const steps = [
      { pitch: 0, gate: true },
      { pitch: 1, gate: false },
      { pitch: 0.5833, gate: true },
    ];
    const text = says(
      { clk1: 'clock', seq1: ['sequencer', { length: 3, steps, direction: 'reverse' }], osc1: ['oscillator', { tune: 440 }], ...out },
      'clk1.beat > seq1.clock, seq1.pitch > osc1.pitch, osc1.saw > out1.left',
    );
    expect(text).toContain('row of three steps on Oscillator (reverse): A4 rest E5');
  });

  it('no notes where something transposes the row', () => {
    const text = says(
      { clk1: 'clock', seq1: ['sequencer', { length: 2 }], volts1: ['voltages', { volts1: 1 }], osc1: 'oscillator', ...out },
      'clk1.beat > seq1.clock, volts1.out1 > seq1.transpose, seq1.pitch > osc1.pitch, osc1.saw > out1.left',
    );
    expect(text).toMatch(/plays a row of two steps on Oscillator\.$/m);
  });

  it('a gate that never comes is only said to be missing as far as the take shows', () => {
    const text = says(
      { push1: 'button', env1: 'contour', osc1: 'oscillator', amp1: 'vca', ...out },
      'push1.gate > env1.gate, env1.contour > amp1.cv, osc1.saw > amp1.in, amp1.out > out1.left',
    );
    expect(text).toContain('As far as the take shows, the gate of Push button never comes');
    expect(text).toContain('Push button waits for a finger');
  });

  it('hand movements, delays, and blocks that lead nowhere', () => {
    const moves = [
      {
        block: 'flt1',
        setting: 'cutoff',
        points: [
          [0, 200],
          [2, 4000],
        ] as const,
      },
    ];
    const text = says(
      { noise1: 'noise', flt1: 'filter', dly1: ['delay', { time: 0.3 }], lfo1: 'lfo', ...out },
      'noise1.white > flt1.in, flt1.lowpass > dly1.in, dly1.out > out1.left',
      { moves },
    );
    expect(text).toContain('A hand moves the cutoff of flt1 (from 200 Hz to 4 kHz within 2 s)');
    expect(text).toMatch(/repeated by Delay \(300 ms/);
    expect(text).toContain('LFO leads to no output');
  });

  it('without a take nothing is said to have been heard', () => {
    const { sentences } = explainPatch(demo('Ferry lights'), fullCatalogue);
    const text = sentences.map(({ say }) => say).join('\n');
    expect(text).toContain('moves the cutoff of Lantern.');
    expect(text).not.toMatch(/a second|take shows/);
  });
});
