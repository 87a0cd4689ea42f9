import { describe, expect, it } from 'vitest';
import { clockOutput, gateOutputs } from './beats.ts';
import type { BlockSpec, Catalogue } from './blockSpec.ts';

const base = {
  group: 'time',
  say: '',
  part: { one: 'part', many: 'parts' },
  stem: 'x',
  inputs: [],
  settings: [],
  keySettings: [],
} as const;
const pulse: BlockSpec = {
  ...base,
  type: 'pulse',
  title: 'Pulse',
  outputs: [
    { id: 'quick', title: 'Quick', kind: 'gate' },
    { id: 'slow', title: 'Slow', kind: 'gate' },
    { id: 'ramp', title: 'Ramp', kind: 'control' },
  ],
  beats: 'slow',
};
const other: BlockSpec = { ...base, type: 'other', title: 'Other', outputs: [{ id: 'out', title: 'Out', kind: 'gate' }] };
const through: BlockSpec = {
  ...base,
  type: 'through',
  title: 'Through',
  inputs: [{ id: 'in', title: 'In', kind: 'control' }],
  outputs: [{ id: 'out', title: 'Out', kind: 'control' }],
  flows: [{ from: ['in'], to: ['out'], keepsKind: true }],
};
const catalogue: Catalogue = new Map([pulse, other, through].map((spec) => [spec.type, spec]));

describe('beats', () => {
  it('come from the first block whose spec names them', () => {
    const blocks = ['other', 'pulse', 'pulse'].map((type, i) => ({ id: `b${i}`, type }));
    expect(clockOutput({ blocks }, catalogue)).toEqual(['b1', 'slow']);
    expect(clockOutput({ blocks: blocks.slice(0, 1) }, catalogue)).toBeUndefined();
    expect(clockOutput({ blocks: [{ id: 'x', type: 'unknown' }] }, catalogue)).toBeUndefined();
  });

  it('may come from any output that carries a gate, also from one that passes it on to a cable', () => {
    const blocks = ['other', 'through', 'pulse', 'through'].map((type, i) => ({ id: `b${i}`, type }));
    const cables = [
      { from: ['b0', 'out'], to: ['b1', 'in'] },
      { from: ['b1', 'out'], to: ['b3', 'in'] },
    ] as const;
    expect(gateOutputs({ blocks, cables }, catalogue)).toEqual([
      ['b0', 'out'],
      ['b1', 'out'],
      ['b2', 'quick'],
      ['b2', 'slow'],
    ]);
    expect(gateOutputs({ blocks, cables: [] }, catalogue)).toHaveLength(3);
  });
});
