// @vitest-environment node
import { describe, expect, it } from 'vitest';
import type { BlockSpec, SignalKind } from './blockSpec.ts';
import { createCatalogue } from './blockSpec.ts';
import type { Block, Cable, Patch } from './document.ts';
import { cableKind, signalKinds } from './signalKind.ts';

const base = { group: 'shape', say: '', part: { one: 'part', many: 'parts' }, stem: 'x', settings: [], keySettings: [] } as const;
const source = (kind: SignalKind): BlockSpec => ({
  ...base,
  type: kind,
  title: kind,
  inputs: [],
  outputs: [{ id: 'out', title: 'Out', kind }],
});
const mixer: BlockSpec = {
  ...base,
  type: 'mixer',
  title: 'Mixer',
  inputs: ['in1', 'in2', 'cv'].map((id) => ({ id, title: id, kind: 'audio' })),
  outputs: [{ id: 'out', title: 'Out', kind: 'audio' }],
  flows: [{ from: ['in1', 'in2'], to: ['out'], keepsKind: true }],
};
const catalogue = createCatalogue([source('audio'), source('control'), source('gate'), source('pitch'), mixer]);

/** Blocks are named by type and a digit: "mixer1.out>mixer2.in1". */
function kinds(...cables: string[]): Record<string, SignalKind> {
  return Object.fromEntries(signalKinds(patchOf(cables), catalogue));
}

function patchOf(cables: readonly string[]): Patch {
  const list = cables.map((cable): Cable => {
    const [from = '', to = ''] = cable.split('>');
    const place = (name: string) => name.split('.') as [string, string];
    return { from: place(from), to: place(to) };
  });
  const ids = new Set(list.flatMap(({ from, to }) => [from[0], to[0]]));
  return { blocks: [...ids].map((id): Block => ({ id, type: id.slice(0, -1) })), cables: list };
}

describe('signalKinds', () => {
  it('a source is what its spec says', () => {
    expect(kinds('gate1.out>mixer1.cv')).toEqual({ 'gate1.out': 'gate' });
  });

  it('a mixer of modulators carries control, through any number of mixers', () => {
    const found = kinds('control1.out>mixer1.in1', 'gate1.out>mixer1.in2', 'mixer1.out>mixer2.in1', 'mixer2.out>mixer3.in1');
    expect(found).toMatchObject({ 'mixer1.out': 'control', 'mixer2.out': 'control' });
  });

  it('sound wins wherever it enters, but not through an input that only controls', () => {
    expect(kinds('control1.out>mixer1.in1', 'audio1.out>mixer1.in2', 'mixer1.out>mixer2.in1')['mixer1.out']).toBe('audio');
    expect(kinds('control1.out>mixer1.in1', 'audio1.out>mixer1.cv', 'mixer1.out>mixer2.in1')['mixer1.out']).toBe('control');
  });

  it('a loop takes the kind of what enters it; one that nothing enters shows what its spec says', () => {
    const ring = ['mixer1.out>mixer2.in1', 'mixer2.out>mixer1.in2'];
    expect(kinds(...ring, 'pitch1.out>mixer1.in1')).toMatchObject({ 'mixer1.out': 'pitch', 'mixer2.out': 'pitch' });
    expect(kinds(...ring)).toEqual({ 'mixer1.out': 'audio', 'mixer2.out': 'audio' });
  });

  it('does not depend on the order of the cables', () => {
    const cables = [
      'control1.out>mixer1.in1',
      'mixer1.out>mixer2.in1',
      'mixer2.out>mixer1.in2',
      'mixer2.out>mixer3.in1',
      'gate1.out>mixer3.in2',
      'mixer3.out>mixer4.in1',
    ];
    const forwards = kinds(...cables);
    expect(kinds(...[...cables].reverse())).toEqual(forwards);
    expect(forwards['mixer3.out']).toBe('control');
  });

  it('answers for one cable too', () => {
    const patch = patchOf(['control1.out>mixer1.in1', 'mixer1.out>mixer2.in1']);
    expect(cableKind(patch, catalogue, patch.cables[1]!)).toBe('control');
  });
});

describe('signalKinds in large patches', () => {
  it('does not walk every path: 60 mixers in a row, two cables between each pair, and one back', () => {
    const names = Array.from({ length: 60 }, (_, i) => `mixer${i}`).reverse();
    const links = names
      .slice(1)
      .flatMap((name, i) => ['in1', 'in2'].map((input): Cable => ({ from: [names[i]!, 'out'], to: [name, input] })));
    const back: Cable = { from: [names.at(-1)!, 'out'], to: [names[0]!, 'in2'] };
    const enter: Cable = { from: ['control1', 'out'], to: [names[0]!, 'in1'] };
    const blocks = [{ id: 'control1', type: 'control' }, ...names.map((id): Block => ({ id, type: 'mixer' }))];
    const found = signalKinds({ blocks, cables: [enter, ...links, back] }, catalogue);
    expect(new Set(found.values())).toEqual(new Set(['control']));
  });
});
