/** Arbitrary whole documents over a catalogue: every field, every sort of setting, cables only where they may run. */
import fc from 'fast-check';
import type { BlockSpec, Catalogue, NumberSetting, SettingSpec, SettingValue } from '../../src/patch/blockSpec.ts';
import type { Block, Cable, Patch, Place, Stage, VariationChange } from '../../src/patch/document.ts';
import { listValue } from '../../src/patch/settings.ts';

const plus = (value: number): number => value + 0;

function numberValue(setting: NumberSetting): fc.Arbitrary<number> {
  if (setting.whole) return fc.integer({ min: setting.minimum, max: setting.maximum });
  // JSON has no -0.
  return fc.double({ min: setting.minimum, max: setting.maximum, noNaN: true }).map(plus);
}

export function settingValueOf(setting: SettingSpec): fc.Arbitrary<SettingValue> {
  switch (setting.type) {
    case 'number':
      return numberValue(setting);
    case 'switch':
      return fc.boolean();
    case 'choice':
      return fc.constantFrom(...setting.choices);
    case 'recording':
      return fc.constant('');
    case 'list': {
      const fields = setting.fields.map((field) => [field.id, field.type === 'number' ? numberValue(field) : fc.boolean()] as const);
      const model: Record<string, fc.Arbitrary<number | boolean>> = Object.fromEntries(fields);
      // Fields left out are absent, never undefined.
      const records = fc.record(model, { requiredKeys: [] }) as fc.Arbitrary<Record<string, number | boolean>>;
      return fc.array(records, { maxLength: setting.maximumLength }).map((list) => listValue(setting, list));
    }
  }
}

function blockOf(spec: BlockSpec, id: string): fc.Arbitrary<Block> {
  const settings = fc.record(Object.fromEntries(spec.settings.map((setting) => [setting.id, settingValueOf(setting)])), {
    requiredKeys: [],
  });
  return fc
    .record(
      {
        label,
        at: fc.tuple(coordinate, coordinate),
        ...(spec.settings.length > 0 && { settings: settings.filter((values) => Object.keys(values).length > 0) }),
      },
      { requiredKeys: [] },
    )
    .map((rest) => ({ id, type: spec.type, ...rest }) as Block);
}

/** Letters that writing and reading could trip over. */
const letter = fc.constantFrom(...'aZ 0"\\/\n\t\u0000\u2028é船', '\u{1f6a2}');
const label = fc.string({ minLength: 1, maxLength: 12, unit: letter });
const coordinate = fc.integer({ min: -2000, max: 2000 });
const seconds = fc.double({ min: 0, max: 600, noNaN: true }).map(plus);
const length = fc.double({ min: 0.001, max: 600, noNaN: true });

/** Patches of up to `maximum` blocks of any types of the catalogue. */
export function randomPatch(catalogue: Catalogue, maximum = 8): fc.Arbitrary<Patch> {
  const specs = [...catalogue.values()];
  const blocks = fc
    .array(fc.constantFrom(...specs), { maxLength: maximum })
    .chain((chosen) => fc.tuple(...chosen.map((spec, i) => blockOf(spec, `${spec.stem}${i + 1}`))));
  return blocks.chain((list) => whole(catalogue, list));
}

function places(catalogue: Catalogue, blocks: readonly Block[], side: 'inputs' | 'outputs'): Place[] {
  return blocks.flatMap((block) => (catalogue.get(block.type)?.[side] ?? []).map((port): Place => [block.id, port.id]));
}

function whole(catalogue: Catalogue, blocks: readonly Block[]): fc.Arbitrary<Patch> {
  const outputs = places(catalogue, blocks, 'outputs');
  const inputs = places(catalogue, blocks, 'inputs');
  const wired = outputs.length > 0 && inputs.length > 0;
  const cables: readonly fc.Arbitrary<Cable>[] = wired ? [fc.record({ from: pick(outputs), to: pick(inputs) })] : [];
  const settings = blocks.flatMap((block) => (catalogue.get(block.type)?.settings ?? []).map((setting) => ({ block: block.id, setting })));
  const numbers = settings.flatMap(({ block, setting }) => (setting.type === 'number' ? [{ block, setting }] : []));
  const set = settings.map(({ block, setting }) =>
    settingValueOf(setting).map((value): VariationChange => ({ set: [block, setting.id], value })),
  );
  const stageSet = settings.map(({ block, setting }) => settingValueOf(setting).map((value) => [block, setting.id, value] as const));
  const moves = numbers.map(({ block, setting }) =>
    fc
      .array(fc.tuple(seconds, numberValue(setting)), { maxLength: 4 })
      .map((points) => ({ block, setting: setting.id, points: points.sort((a, b) => a[0] - b[0]) })),
  );
  const changes: readonly fc.Arbitrary<VariationChange>[] = [
    ...set,
    ...cables.flatMap((cable) => [fc.record({ connect: cable }), fc.record({ disconnect: pick(inputs) })]),
  ];
  const stage: fc.Arbitrary<Stage> = fc.record(
    {
      title: fc.string({ unit: letter }),
      say: label,
      listen: length,
      ...(blocks.length > 0 && { blocks: fc.array(pick(blocks.map(({ id }) => id)), { minLength: 1, maxLength: 3 }) }),
      ...(inputs.length > 0 && { cables: fc.array(pick(inputs), { minLength: 1, maxLength: 3 }) }),
      ...(settings.length > 0 && { settings: fc.array(fc.oneof(...stageSet), { minLength: 1, maxLength: 3 }) }),
    },
    { requiredKeys: ['title'] },
  );
  const some = { minLength: 1, maxLength: 3 };
  const byId = <T extends { readonly id: string }>({ id }: T): string => id;
  return fc.record(
    {
      title: label,
      summary: label,
      notes: label,
      tags: fc.array(label, some),
      seed: fc.nat(),
      seconds: length,
      blocks: fc.constant(blocks),
      cables: wired ? fc.uniqueArray(fc.oneof(...cables), { maxLength: 12, selector: ({ to }) => to.join('.') }) : fc.constant([]),
      score: fc.array(
        fc.record(
          { at: seconds, note: fc.nat(127), length, velocity: fc.double({ min: 0, max: 1, noNaN: true }).map(plus) },
          { requiredKeys: ['at', 'note', 'length'] },
        ),
        some,
      ),
      ...(moves.length > 0 && {
        moves: fc.uniqueArray(fc.oneof(...moves), { ...some, selector: ({ block, setting }) => `${block}.${setting}` }),
      }),
      ...(outputs.length > 0 && {
        probes: fc.uniqueArray(fc.record({ at: pick(outputs) }), { ...some, selector: ({ at }) => at.join('.') }),
      }),
      variations: fc.uniqueArray(
        fc.record({
          id: identifier,
          title: label,
          changes: changes.length > 0 ? fc.array(fc.oneof(...changes), { maxLength: 3 }) : fc.constant([]),
        }),
        { ...some, selector: byId },
      ),
      stages: fc.array(stage, some),
      recordings: fc.uniqueArray(
        fc.record({
          id: identifier,
          name: label,
          sha256: fc.nat().map((n) => n.toString(16).padStart(64, '0')),
          seconds: fc.double({ min: 0.01, max: 30, noNaN: true }),
        }),
        { ...some, selector: byId },
      ),
      author: label,
      date: fc.constant('2026-11-25'),
      licence: label,
      basedOn: label,
    },
    { requiredKeys: ['blocks', 'cables'] },
  );
}

const identifier = fc.constantFrom('a', 'B2', 'c-3', 'd_4', `e${'9'.repeat(31)}`);

const pick = <T>(list: readonly T[]): fc.Arbitrary<T> => fc.constantFrom(...list);
