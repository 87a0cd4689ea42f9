/** Blocks that go by themselves, and too slowly: to be heard, or to get anywhere in a take. */
import { findSetting } from '../../patch/settings.ts';
import type { Finding } from '../finding.ts';
import { type KnownBlock, sourceOf } from '../wired.ts';
import type { Wish } from './cause.ts';
import { tooSlow, tunedTooHigh, tunedTooLow } from './causes.ts';
import { numberAt, ownRangeOf, pushesOn, rangeOf, type Scene, sizeOf } from './scene.ts';

/** Lowest tone that is heard as one, in Hz (ISO 226 begins at 20 Hz). */
export const LOWEST_HZ = 20;
/** Highest tone that most grown-ups hear, in Hz (common practice, no source). */
const HIGHEST_HZ = 15_000;
/** What an envelope has to reach to open anything, in volts: a tenth of 8 V. */
const HARDLY_VOLTS = 0.8;

export function paceReason(scene: Scene, known: KnownBlock, output: string, wish: Wish): Finding | undefined {
  if (wish === 'sound') return tuning(scene, known);
  return tempo(scene, known) ?? attack(scene, known, output);
}

/** A beat that does not come round within the take. */
function tempo(scene: Scene, known: KnownBlock): Finding | undefined {
  const pace = known.spec.tempo;
  const setting = pace && findSetting(known.spec, pace.setting);
  if (!pace || setting?.type !== 'number') return undefined;
  if (pace.unlessPatched !== undefined && sourceOf(scene.wired, known.block.id, pace.unlessPatched)) return undefined;
  const fastest = rangeOf(scene, known, pace.setting).most / (setting.unit === 'bpm' ? 60 : 1);
  return fastest * scene.seconds < 1 ? tooSlow(scene, known, pace.setting, scene.seconds) : undefined;
}

/** An envelope that is still on its way up when the take ends, or when its gate does. */
function attack(scene: Scene, known: KnownBlock, output: string): Finding | undefined {
  const { envelope } = known.spec;
  const figures = scene.heard.outputs.get(`${known.block.id}.${output}`);
  if (!envelope || envelope.output !== output || !figures || sizeOf(figures) >= HARDLY_VOLTS) return undefined;
  return ownRangeOf(scene, known, envelope.attack).least > 1 ? tooSlow(scene, known, envelope.attack, scene.seconds) : undefined;
}

const OCTAVES: Readonly<Record<string, number>> = { octaves: 1, semitones: 1 / 12, cents: 1 / 1200 };

/** A tone below or above hearing. The setting to blame is the one that alone brings it back; else the input that pushes most. */
function tuning(scene: Scene, known: KnownBlock): Finding | undefined {
  const hertz = known.spec.tuned?.hertz;
  if (hertz === undefined) return undefined;
  const shifts = known.spec.settings.flatMap(({ id, ...setting }) => {
    const octaves = setting.type === 'number' ? OCTAVES[setting.unit] : undefined;
    return octaves === undefined ? [] : [{ id, octaves: octaves * numberAt(known, id) }];
  });
  const shift = shifts.reduce((sum, { octaves }) => sum + octaves, 0);
  const pushes = pushesOn(scene, known, hertz);
  const own = ownRangeOf(scene, known, hertz);
  const most = own.most * 2 ** (shift + pushes.reduce((sum, push) => sum + push.most, 0));
  const least = own.least * 2 ** (shift + pushes.reduce((sum, push) => sum + push.least, 0));
  const isLow = most < LOWEST_HZ;
  if (!isLow && least <= HIGHEST_HZ) return undefined;
  // in octaves, counted away from hearing: how far it lies off, and what each thing has to do with that
  const away = isLow ? -1 : 1;
  const off = away * Math.log2(isLow ? most / LOWEST_HZ : least / HIGHEST_HZ);
  const standard = Number(findSetting(known.spec, hertz)?.default ?? 1);
  const blame = [
    ...pushes.map(({ input, ...push }) => ({ input, setting: undefined, octaves: away * (isLow ? push.most : push.least) })),
    ...shifts.map(({ id, octaves }) => ({ input: undefined, setting: id, octaves: away * octaves })),
    { input: undefined, setting: hertz, octaves: away * Math.log2((isLow ? own.most : own.least) / standard) },
  ].sort((a, b) => b.octaves - a.octaves);
  const { setting, input } = blame.find(({ octaves }) => octaves >= off) ?? (blame[0] as (typeof blame)[number]);
  return isLow ? tunedTooLow(scene, known, most, setting, input) : tunedTooHigh(scene, known, HIGHEST_HZ, setting, input);
}
