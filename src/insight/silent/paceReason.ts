/** Blocks that go by themselves, and too slowly: to be heard, or to get anywhere in a take. */
import { findSetting, settingValue } from '../../patch/settings.ts';
import type { Finding } from '../finding.ts';
import { type KnownBlock, sourceOf } from '../wired.ts';
import type { Wish } from './cause.ts';
import { tooSlow, tunedTooLow } from './causes.ts';
import { ownRangeOf, pushesOn, rangeOf, type Scene, sizeOf } from './scene.ts';

/** Lowest tone that is heard as one, in Hz (ISO 226 begins at 20 Hz). */
const LOWEST_HZ = 20;
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

/** A tone below hearing. The setting to blame is the one that alone brings it back; else the input that pushes most. */
function tuning(scene: Scene, known: KnownBlock): Finding | undefined {
  const hertz = known.spec.tuned?.hertz;
  if (hertz === undefined) return undefined;
  const shifts = known.spec.settings.flatMap((setting) => {
    const octaves = setting.type === 'number' ? OCTAVES[setting.unit] : undefined;
    return octaves === undefined ? [] : [{ setting, octaves: octaves * Number(settingValue(known.block, setting)) }];
  });
  const shift = shifts.reduce((sum, { octaves }) => sum + octaves, 0);
  const pushes = pushesOn(scene, known, hertz);
  const push = pushes.reduce((sum, { most }) => sum + most, 0);
  const most = ownRangeOf(scene, known, hertz).most * 2 ** (shift + push);
  if (most >= LOWEST_HZ) return undefined;
  if (most * 2 ** -push >= LOWEST_HZ && push < 0) {
    const [strongest] = [...pushes].sort((a, b) => a.most - b.most);
    return tunedTooLow(scene, known, most, undefined, strongest?.input);
  }
  const standard = Number(findSetting(known.spec, hertz)?.default ?? 0);
  const [deepest] = [...shifts].sort((a, b) => a.octaves - b.octaves);
  const byShift = deepest && most * 2 ** -deepest.octaves >= LOWEST_HZ;
  const byHertz = standard * 2 ** (shift + push) >= LOWEST_HZ;
  const culprit = byShift ? deepest.setting.id : byHertz ? hertz : deepest && deepest.octaves < 0 ? deepest.setting.id : hertz;
  return tunedTooLow(scene, known, most, culprit, undefined);
}
