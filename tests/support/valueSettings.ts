/** One number setting of each unit, with ranges as blocks have them. */
import type { NumberSetting } from '../../src/patch/blockSpec.ts';

const made = (unit: NumberSetting['unit'], minimum: number, maximum: number, more: Partial<NumberSetting> = {}): NumberSetting => ({
  id: 'x',
  title: 'X',
  type: 'number',
  unit,
  minimum,
  maximum,
  default: Math.min(maximum, Math.max(minimum, 1)),
  ...more,
});

export const valueSettings = {
  tune: made('Hz', 8, 12500, { title: 'Tune', travel: 'ratio', note: true }),
  rate: made('Hz', 0.005, 200, { title: 'Rate', travel: 'ratio' }),
  attack: made('s', 0.0003, 20, { title: 'Attack', travel: 'ratio' }),
  glide: made('s', 0, 5, { title: 'Glide', travel: 'ratio' }),
  level: made('', 0, 1, { title: 'Level' }),
  amount: made('', -1, 1, { title: 'Amount' }),
  perClock: made('', 1 / 64, 16, { title: 'Cycles per clock', travel: 'ratio' }),
  offset: made('V', -10, 10, { title: 'Offset' }),
  pitch: made('V', -10, 10, { title: 'Pitch', pitchVolts: true }),
  gain: made('dB', -60, 6, { title: 'Gain' }),
  fine: made('cents', -100, 100, { title: 'Fine' }),
  semitone: made('semitones', -12, 12, { title: 'Semitone', whole: true }),
  octave: made('octaves', -5, 5, { title: 'Octave', whole: true }),
  bpm: made('bpm', 10, 400, { title: 'Tempo', travel: 'ratio' }),
  bend: made('oct/V', -1, 1, { title: 'FM amount' }),
  length: made('notes', 1, 16, { title: 'Length', whole: true }),
} satisfies Record<string, NumberSetting>;
