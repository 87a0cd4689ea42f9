/** Where settings stand during a take, with everything patched that moves them. */
import type { MovesSpec } from '../../patch/blockSpec.ts';
import { findSetting } from '../../patch/settings.ts';
import { amountOf, type Heard, inputFigures } from '../heard.ts';
import { type KnownBlock, leastOf, mostOf, sourceOf, type Wired } from '../wired.ts';
import { numberOf } from './look.ts';

/** How far an input moves a setting, in its unit or, by the law of octaves, in octaves. */
export interface Push {
  readonly input: string;
  readonly patched: boolean;
  readonly least: number;
  readonly most: number;
}

export interface Moved {
  readonly setting: string;
  readonly law: MovesSpec['law'];
  /** The setting alone, without the pushes; for octaves as log2. */
  readonly baseLeast: number;
  readonly baseMost: number;
  readonly bottom: number;
  readonly top: number;
  readonly pushes: readonly Push[];
}

/** The settings of a block that inputs move. */
export function movedSettings(heard: Heard, wired: Wired, known: KnownBlock): Moved[] {
  const ids = new Set(known.spec.inputs.flatMap(({ moves }) => (moves ? [moves.setting] : [])));
  return [...ids].flatMap((id) => movedSetting(heard, wired, known, id) ?? []);
}

function movedSetting(heard: Heard, wired: Wired, known: KnownBlock, id: string): Moved | undefined {
  const setting = findSetting(known.spec, id);
  const inputs = known.spec.inputs.filter(({ moves }) => moves?.setting === id);
  const moves = inputs[0]?.moves;
  if (setting?.type !== 'number' || !moves) return undefined;
  const scale = (value: number): number => (moves.law === 'octaves' ? Math.log2(Math.max(value, 1e-6)) : value);
  const shift = moves.law === 'octaves' && known.spec.tuned?.hertz === id ? tuningOctaves(known) : 0;
  const [bottom, top] = moves.within ?? [setting.minimum, setting.maximum];
  const pushes = inputs.flatMap((input): Push[] => {
    const figures = inputFigures(heard, wired, known.block.id, input.id);
    const factor = amountOf(wired, known.block.id, input.id) * (input.moves?.perVolt ?? 1);
    if (!figures) return [];
    const ends = [figures.least * factor, figures.most * factor];
    const patched = sourceOf(wired, known.block.id, input.id) !== undefined;
    return [{ input: input.id, patched, least: Math.min(...ends), most: Math.max(...ends) }];
  });
  return {
    setting: id,
    law: moves.law,
    baseLeast: scale(leastOf(wired, known, id)) + shift,
    baseMost: scale(mostOf(wired, known, id)) + shift,
    bottom: scale(bottom),
    top: scale(top),
    pushes,
  };
}

const OCTAVES: Readonly<Record<string, number>> = { octaves: 1, semitones: 1 / 12, cents: 1 / 1200 };

/** What the tuning settings of a block beside its hertz make, in octaves. */
export function tuningOctaves(known: KnownBlock): number {
  return known.spec.settings.reduce(
    (sum, setting) => sum + (setting.type === 'number' ? (OCTAVES[setting.unit] ?? 0) * numberOf(known, setting.id) : 0),
    0,
  );
}
