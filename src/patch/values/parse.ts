/** What people type into a number field: "440", "2.5k", "A4", "300 ms", "-6 dB", "1/16". Never clamped: what does not fit is refused with the range. */
import type { NumberSetting } from '../blockSpec.ts';
import { checkSetting } from '../checkSetting.ts';
import { quoted, shown } from '../problem.ts';
import { type Refusal, refuse } from '../refusal.ts';
import { noteHertz, noteNumber, noteVolts } from './notes.ts';
import { pitchVoltUnits, typedUnits } from './units.ts';

const numeral = /^([+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?)(?:\/(\d+\.?\d*))?(.*)$/;

/** The value in the setting's own unit, or a refusal whose sentence says what may be typed. */
export function parseValue(text: string, setting: NumberSetting): number | Refusal {
  const typed = text
    .trim()
    .replace(/[\u2212\u2013]/g, '-')
    .replace(/\s+/g, '');
  const twoWays = /^[+-]?([1-9]\d{0,2}),(\d{3})(?!\d)/.exec(typed);
  if (twoWays) {
    return refuse(
      'not-a-value',
      `${shown(text.trim())} can be read two ways: type ${twoWays[1]}.${twoWays[2]} or ${twoWays[1]}${twoWays[2]}.`,
    );
  }
  const value = parseNote(typed, setting) ?? parseNumber(typed.replace(',', '.').toLowerCase(), setting);
  if (value === undefined) {
    const { say, examples } = typedUnits[setting.unit];
    const notes = setting.note || setting.pitchVolts ? ['A4'] : [];
    return refuse('not-a-value', `${setting.title} takes ${say}, like ${quoted([...examples, ...notes])}; not ${shown(text.trim())}.`);
  }
  const [problem] = checkSetting(setting, value, setting.id);
  return problem ? refuse(problem.rule, problem.say) : value;
}

/** A note's name, with cents to add if need be: "A4", "Bb2", "C4+12ct". */
function parseNote(typed: string, setting: NumberSetting): number | undefined {
  if (!setting.note && !setting.pitchVolts) return undefined;
  const [, name = '', cents] = /^([A-Ga-g][#♯b♭]{0,2}-?\d+)(?:([+-]\d+\.?\d*)ct)?$/.exec(typed) ?? [];
  const number = noteNumber(name);
  if (number === undefined) return undefined;
  const offset = Number(cents ?? 0);
  // Seven digits, as the default of a tuning is written: within a thousandth of a cent.
  return setting.note ? Number(noteHertz(number + offset / 100).toPrecision(7)) : noteVolts(number) + offset / 1200;
}

function parseNumber(typed: string, setting: NumberSetting): number | undefined {
  const { accepts } = typedUnits[setting.unit];
  // Silence has a name of its own on a decibel scale.
  if (setting.unit === '' && /^-(inf|infinity|∞)db$/.test(typed)) return 0;
  const [, digits, divisor, unit = ''] = numeral.exec(typed) ?? [];
  if (digits === undefined) return undefined;
  const convert = Object.hasOwn(accepts, unit)
    ? accepts[unit]
    : setting.pitchVolts && Object.hasOwn(pitchVoltUnits, unit)
      ? pitchVoltUnits[unit]
      : undefined;
  if (!convert) return undefined;
  const value = convert(Number(digits) / Number(divisor ?? 1));
  return Number.isFinite(value) ? value : undefined;
}
