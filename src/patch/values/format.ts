/** Settings as they are shown: "440 Hz", "2.5 kHz", "300 ms", "-6 dB", "C4". Whatever is shown can be typed back. */
import type { BlockSpec, NumberSetting, SettingSpec, SettingValue, Unit } from '../blockSpec.ts';
import type { Block } from '../document.ts';
import { findSetting, settingValue } from '../settings.ts';
import { nearestNote, voltsNote } from './notes.ts';

/** How a unit is written behind a number, with its space. */
const suffixes: Readonly<Record<Unit, string>> = {
  '': '',
  Hz: ' Hz',
  s: ' s',
  V: ' V',
  dB: ' dB',
  cents: ' ct',
  semitones: ' st',
  octaves: ' oct',
  bpm: ' bpm',
  'oct/V': ' oct/V',
  notes: ' notes',
};

/** Units of an interval: shown with a plus sign where they go up. */
const intervals: ReadonlySet<Unit> = new Set<Unit>(['cents', 'semitones', 'octaves']);

/** A value in words and units, to about four digits. */
export function formatValue(value: SettingValue, setting: SettingSpec): string {
  switch (setting.type) {
    case 'number':
      return formatNumber(Number(value), setting);
    case 'switch':
      return value ? 'on' : 'off';
    case 'choice':
      return setting.choiceTitles?.[setting.choices.indexOf(String(value))] ?? String(value);
    case 'recording':
      return value === '' ? 'none' : String(value);
    case 'list':
      return Array.isArray(value) && value.length > 0 ? `${value.length} ${lowerFirst(setting.title)}` : 'all at rest';
  }
}

function formatNumber(value: number, setting: NumberSetting): string {
  if (setting.pitchVolts) return nearestNote(voltsNote(value));
  const sign = intervals.has(setting.unit) && value > 0 ? '+' : '';
  if (setting.unit === 'Hz' && Math.abs(value) >= 1000) return `${digits(value, setting, 1000)} kHz`;
  if (setting.unit === 's' && value !== 0 && Math.abs(value) < 1) return `${digits(value, setting, 0.001)} ms`;
  if (setting.unit === 'notes' && value === 1) return '1 note';
  return `${sign}${digits(value, setting, 1)}${suffixes[setting.unit]}`;
}

/** Four digits; more where rounding would leave the setting's range, as what is shown may be typed back. */
function digits(value: number, { minimum, maximum }: NumberSetting, scale: number): string {
  for (let precision = 4; precision < 17; precision++) {
    const short = Number((value / scale).toPrecision(precision));
    if (short * scale >= minimum && short * scale <= maximum) return String(short);
  }
  return String(value / scale);
}

/**
 * The short text above a block's symbol: its key settings, then what is taken out of it ("110 Hz saw").
 * Numbers with a unit show unless they are 0, everything else where it is not at its default, factors and switches with
 * their name, recordings by their id. Outputs show where a block has several and one or two of them are connected.
 */
export function keySettingsLine(block: Block, spec: BlockSpec, connectedOutputs: Iterable<string> = []): string {
  const words = spec.keySettings.flatMap((id) => {
    const setting = findSetting(spec, id);
    if (!setting || setting.type === 'list') return [];
    const value = settingValue(block, setting);
    const measured = setting.type === 'number' && setting.unit !== '';
    if (measured ? value === 0 : value === setting.default) return [];
    const shown = formatValue(value, setting);
    if (setting.type === 'recording') return [shown];
    return [measured || setting.type === 'choice' ? lowerFirst(shown) : `${lowerFirst(setting.title)} ${shown}`];
  });
  const connected = new Set(connectedOutputs);
  const outputs = spec.outputs.length > 1 ? spec.outputs.filter(({ id }) => connected.has(id)) : [];
  const taken = outputs.length <= 2 ? outputs.map(({ title }) => lowerFirst(title)).join(' + ') : '';
  return [words.join(', '), taken].filter(Boolean).join(' ');
}

/** "Saw" to "saw", but "FM amount", "DC" and "A4" stay. */
export function lowerFirst(text: string): string {
  return /^[A-Z](?![A-Z0-9#])/.test(text) ? text.charAt(0).toLowerCase() + text.slice(1) : text;
}
