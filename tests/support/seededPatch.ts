/** Random patches over the whole catalogue, loops and extreme settings included; the same seed gives the same patch. */
import { specs } from '../../src/blocks/specs.gen.ts';
import type { RecordedSound } from '../../src/engine/hosts/recordings.ts';
import type { BlockSpec, SettingSpec, SettingValue } from '../../src/patch/blockSpec.ts';
import type { Block, Cable, Patch } from '../../src/patch/document.ts';
import { listValue } from '../../src/patch/settings.ts';
import { uniform } from './signals.ts';

/** The sound file that random patches play: noise at full scale, at another rate than theirs. */
export const seededSounds: ReadonlyMap<string, RecordedSound> = new Map([
  ['surf', { rate: 44100, channels: [1, 2].map((seed) => Float32Array.from({ length: 3000 }, noise(seed))) }],
]);

function noise(seed: number): () => number {
  const next = uniform(seed);
  return () => 2 * next() - 1;
}

function randomValue(setting: SettingSpec, next: () => number): SettingValue {
  switch (setting.type) {
    case 'number': {
      const share = next() < 0.2 ? Math.round(next()) : next();
      const value = setting.minimum + (setting.maximum - setting.minimum) * (setting.travel === 'ratio' ? share ** 3 : share);
      return setting.whole ? Math.round(value) : value;
    }
    case 'switch':
      return next() < 0.5;
    case 'choice':
      return setting.choices[Math.floor(next() * setting.choices.length)] as string;
    case 'recording':
      return next() < 0.2 ? '' : 'surf';
    case 'list':
      return listValue(
        setting,
        Array.from({ length: Math.floor(next() * setting.maximumLength) }, () =>
          Object.fromEntries(setting.fields.map((field) => [field.id, randomValue(field, next) as number | boolean])),
        ),
      );
  }
}

export function seededPatch(seed: number, size = 12): Patch {
  const next = uniform(seed);
  const pick = <T>(list: readonly T[]): T => list[Math.floor(next() * list.length)] as T;
  const specOf = new Map<string, BlockSpec>();
  const blocks: Block[] = Array.from({ length: size }, (_, i) => {
    const spec = pick(specs);
    const id = `b${Math.floor(next() * 1000)}-${i}`;
    specOf.set(id, spec);
    const settings = Object.fromEntries(
      spec.settings.filter(() => next() < 0.6).map((setting) => [setting.id, randomValue(setting, next)]),
    );
    return { id, type: spec.type, settings };
  });
  const sinks = specs.filter((spec) => spec.bus);
  for (const spec of sinks) {
    blocks.push({ id: `z-${spec.type}`, type: spec.type });
    specOf.set(`z-${spec.type}`, spec);
  }
  const sources = blocks.flatMap((block) => (specOf.get(block.id) as BlockSpec).outputs.map((output) => [block.id, output.id] as const));
  const cables: Cable[] = blocks.flatMap((block) =>
    (specOf.get(block.id) as BlockSpec).inputs
      .filter(() => next() < 0.55 && sources.length > 0)
      .map((input) => ({ from: pick(sources), to: [block.id, input.id] as const })),
  );
  return { seed, seconds: 0.25, blocks, cables };
}

/** The same patch with its blocks and cables listed in another order. */
export function shuffled(patch: Patch, seed: number): Patch {
  const next = uniform(seed);
  const shuffle = <T>(list: readonly T[]): T[] =>
    list
      .map((item) => ({ item, at: next() }))
      .sort((a, b) => a.at - b.at)
      .map(({ item }) => item);
  return { ...patch, blocks: shuffle(patch.blocks), cables: shuffle(patch.cables) };
}
