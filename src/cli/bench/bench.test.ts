// @vitest-environment node
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { orderBlocks } from '../../engine/plan/order.ts';
import { type Patch, placeName } from '../../patch/document.ts';
import { readPatch } from '../../patch/file/read.ts';
import { writePatch } from '../../patch/file/write.ts';
import { catalogue } from '../document.ts';
import { root } from '../root.ts';
import { compare, median } from './measure.ts';
import { closedVoice, loopedVoice, manyVoices, openVoice } from './patches.ts';

const read = readPatch(readFileSync(join(root, 'tests/bench/voice.patch.json')), catalogue);
const voice: Patch = 'patch' in read ? read.patch : { blocks: [], cables: [] };

const loopsOf = (patch: Patch): readonly string[][] => {
  const edges = patch.cables.map(({ from, to }) => ({ name: placeName(to), from: from[0], to: to[0] }));
  const { steps } = orderBlocks(
    patch.blocks.map(({ id }) => id),
    edges,
  );
  return steps.flatMap((step) => ('loop' in step ? [[...step.loop].sort()] : []));
};

describe('patches of the benchmark', () => {
  it('the reference voice is a valid document without a loop', () => {
    expect(read).toHaveProperty('patch');
    expect(voice.blocks).toHaveLength(22);
    expect(loopsOf(voice)).toEqual([]);
  });

  it.each([25, 100, 1000])('about %i blocks are that many, in a valid document', (size) => {
    const many = manyVoices(voice, size);
    expect(Math.abs(many.blocks.length - size)).toBeLessThanOrEqual(11);
    expect(readPatch(writePatch(many), catalogue)).toHaveProperty('patch');
  });

  it('the looped voice has one loop of four blocks, the open one has as many cables and none', () => {
    expect(loopsOf(loopedVoice(voice))).toEqual([['f1', 'm3', 'v5', 'v6']]);
    expect(loopsOf(openVoice(voice))).toEqual([]);
    // Only what lies between the first oscillator and the output: slow modulators and contours stay outside.
    expect(loopsOf(closedVoice(voice))).toEqual([['back', 'f1', 'm3', 'o1', 'o2', 'v4', 'v5', 'v6']]);
    expect(readPatch(writePatch(closedVoice(voice)), catalogue)).toHaveProperty('patch');
    expect(openVoice(voice).cables).toHaveLength(loopedVoice(voice).cables.length);
  });
});

describe('figures of the benchmark', () => {
  it('the median leaves one outlier without weight', () => {
    expect(median([3, 1, 1000])).toBe(3);
    expect(median([4, 1, 2, 1000])).toBe(3);
  });

  it("contenders take turns, and the ratio is their cost over the engine's", async () => {
    const turns: string[] = [];
    const contender = (id: string, cost: number) => ({
      id,
      title: id,
      run: async () => {
        turns.push(id);
        return cost;
      },
      close: async () => {},
    });
    const [engine, other] = await compare([contender('engine', 0.01), contender('other', 0.04)], 2, () => {});
    // The first round is not counted.
    expect(turns).toEqual(['engine', 'other', 'engine', 'other', 'engine', 'other']);
    expect(engine).toMatchObject({ realtime: 100, engineRatio: 1 });
    expect(other).toMatchObject({ realtime: 25, engineRatio: 4 });
  });
});
