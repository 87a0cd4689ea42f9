// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { fromDb } from '../measure/levels.ts';
import { integratedLoudness } from '../measure/loudness.ts';
import { soundFigures } from '../measure/soundFigures.ts';
import { type ComparedSound, matchLoudness, whatChanged } from './whatChanged.ts';

const rate = 48000;
const tau = 2 * Math.PI;
function sound(seconds: number, at: (t: number) => number): ComparedSound {
  const samples = Float32Array.from({ length: Math.round(seconds * rate) }, (_, n) => at(n / rate));
  return { channels: [samples, samples], figures: soundFigures([samples, samples], rate) };
}
const saw = (hz: number, level = 0.3, seconds = 2) =>
  sound(seconds, (t) => {
    let sum = 0;
    for (let k = 1; k <= 20; k++) sum += (level / k) * Math.sin(tau * hz * k * t);
    return sum;
  });
const by = (before: ComparedSound, after: ComparedSound, id: string) =>
  whatChanged(before, after).figures.find((figure) => figure.id === id)?.by;
const steady = saw(220);

describe('what changed', () => {
  it('is nothing where the takes are the same, or differ by less than 16 bits can tell', () => {
    expect(whatChanged(steady, steady).say).toEqual(['Nothing audible changed.']);
    const nearly = sound(2, (t) => 0.5 * Math.sin(tau * 440 * t));
    const nearlyToo = sound(2, (t) => 0.50002 * Math.sin(tau * 440 * t));
    expect(whatChanged(nearly, nearlyToo).say).toEqual(['Nothing audible changed.']);
  });

  it('is level and loudness: 6 dB are 6 LU, told once', () => {
    const after = saw(220, 0.3 * fromDb(-6));
    expect(by(steady, after, 'rms')).toBe('-6.0 dB');
    expect(by(steady, after, 'peak')).toBe('-6.0 dB');
    expect(by(steady, after, 'loudness')).toBe('-6.0 LU');
    const { say } = whatChanged(steady, after);
    expect(say).toEqual([expect.stringMatching(/^Softer by 6\.0 LU \(.* LUFS before, .* LUFS now\)\.$/)]);
  });

  it('is peaks alone where only they move', () => {
    const click = sound(2, (t) => (Math.abs(t - 1) < 1e-5 ? 0.9 : 0.1 * Math.sin(tau * 220 * t)));
    const { say } = whatChanged(
      sound(2, (t) => 0.1 * Math.sin(tau * 220 * t)),
      click,
    );
    expect(say).toContainEqual(expect.stringMatching(/^Higher peaks by 19\.1 dB/));
  });

  it('is pitch, in intervals', () => {
    expect(by(steady, saw(440), 'pitch')).toBe('+1 octave');
    expect(by(steady, saw(55), 'pitch')).toBe('-2 octaves');
    expect(by(steady, saw(220 * 2 ** (7 / 12)), 'pitch')).toBe('+7 semitones');
    expect(by(steady, saw(220 * 2 ** (-30 / 1200)), 'pitch')).toBe('-30 cents');
    expect(whatChanged(steady, saw(440)).say).toContainEqual(
      expect.stringMatching(/^Higher in pitch by 1 octave \(220 Hz before, 440 Hz now\)\.$/),
    );
  });

  it('is brightness', () => {
    // The first harmonic alone: 220 Hz instead of 20 x 220 / 3.598 Hz.
    const { say, figures } = whatChanged(
      steady,
      sound(2, (t) => 0.3 * Math.sin(tau * 220 * t)),
    );
    expect(say).toContainEqual(expect.stringMatching(/^Darker by 82 % \(1\.22 kHz before, 220 Hz now\)\.$/));
    expect(figures.find(({ id }) => id === 'pitch')?.notable).toBe(false);
  });

  it('is the number of notes', () => {
    const notes = (each: number) => sound(2, (t) => 0.5 * Math.sin(tau * 440 * t) * 10 ** ((-3 * (t % each)) / 0.3));
    expect(whatChanged(notes(0.5), notes(0.25)).say).toContain('More notes: 8 instead of 4.');
  });

  it('is silence that comes or goes, and a clear pitch that does', () => {
    const silence = sound(2, () => 0);
    expect(whatChanged(steady, silence).say).toEqual(['Silent: before, there was sound.']);
    expect(whatChanged(silence, steady).say).toEqual(['There is sound now: before, it was silent.']);
    expect(whatChanged(silence, silence).say).toEqual(['Both takes are silent.']);
    let state = 3;
    const noise = sound(2, () => {
      state = (Math.imul(state, 1664525) + 1013904223) | 0;
      return state / 2 ** 33;
    });
    expect(whatChanged(steady, noise).say).toContainEqual(expect.stringMatching(/^There is no clear pitch any more \(220 Hz before\)\.$/));
    expect(whatChanged(noise, steady).say).toContainEqual('There is a clear pitch now: 220 Hz.');
  });

  it('says so where the sound differs in none of its figures', () => {
    const later = sound(2, (t) => 0.3 * Math.sin(tau * 220 * t + 1));
    const sooner = sound(2, (t) => 0.3 * Math.sin(tau * 220 * t));
    expect(whatChanged(sooner, later).say).toEqual([
      'The sound differs, but not in level, brightness, pitch, loudness or number of notes.',
    ]);
  });

  it('tells of another length', () => {
    expect(whatChanged(steady, saw(220, 0.3, 3)).say).toEqual(['The take lasts 3 s instead of 2 s.']);
  });
});

describe('equal loudness', () => {
  it('turns the louder one down, never the softer one up, until both are as loud by BS.1770', () => {
    const loud = saw(220, 0.3);
    const soft = saw(880, 0.07);
    for (const [before, after] of [
      [loud, soft],
      [soft, loud],
    ] as const) {
      const match = matchLoudness(before.figures.loudness, after.figures.loudness);
      expect(Math.min(match.before, match.after)).toBeLessThan(-3);
      expect(Math.max(match.before, match.after)).toBe(0);
      const heard = ([{ channels }, db]: readonly [ComparedSound, number]): number =>
        integratedLoudness(
          channels.map((channel) => channel.map((x) => x * fromDb(db))),
          rate,
        ) as number;
      expect(heard([before, match.before]) - heard([after, match.after])).toBeCloseTo(0, 2);
      expect(match.say).toMatch(before === loud ? /^Equal loudness: "Before" is turned down by \d+\.\d dB\.$/ : /"After" is turned down/);
    }
  });

  it('leaves alone what is silent, too short, or as loud', () => {
    expect(matchLoudness(steady.figures.loudness, steady.figures.loudness)).toMatchObject({
      before: 0,
      after: 0,
      say: expect.stringMatching(/equally loud/),
    });
    expect(matchLoudness(steady.figures.loudness, sound(1, () => 0).figures.loudness)).toMatchObject({
      before: 0,
      after: 0,
      say: expect.stringMatching(/silent/),
    });
    expect(matchLoudness(steady.figures.loudness, saw(220, 0.1, 0.3).figures.loudness)).toMatchObject({
      before: 0,
      after: 0,
      say: expect.stringMatching(/too short/),
    });
  });
});
