// @vitest-environment node
/** Laws that hold for the description of every patch, tried on random ones; a seed that once failed stays in the list. */
import { performance } from 'node:perf_hooks';
import { describe, expect, it } from 'vitest';
import { specs } from '../../src/blocks/specs.gen.ts';
import { renderTake } from '../../src/engine/hosts/take.ts';
import { type Explanation, explainPatch } from '../../src/insight/explain/explain.ts';
import { createHearing } from '../../src/insight/heard.ts';
import type { Patch } from '../../src/patch/document.ts';
import { engineModule } from '../support/engine.ts';
import { fullCatalogue } from '../support/hearing.ts';
import { seededPatch, seededSounds, shuffled } from '../support/seededPatch.ts';

const { hear } = createHearing(
  (patch, options) => renderTake(engineModule(), specs, patch, { ...options, recordings: seededSounds }),
  fullCatalogue,
);
const explained = (patch: Patch): Explanation => explainPatch(patch, fullCatalogue, hear(patch, { seconds: 0.3 }));
const seeds = Array.from({ length: 30 }, (_, i) => i + 1);

describe('the description of every patch', () => {
  it.each(seeds)('is made of whole sentences about blocks and cables that are there (seed %i)', (seed) => {
    const patch = seededPatch(seed, 4 + seed);
    const ids = new Set(patch.blocks.map(({ id }) => id));
    const inputs = new Set(patch.cables.map(({ to }) => to.join('.')));
    const { sentences, constructions } = explained(patch);
    for (const { say, blocks, cables } of sentences) {
      expect(say).toMatch(/^\S.*[^.,;: ]\.$/);
      expect(say).not.toMatch(/undefined|NaN|Infinity| {2}| ,|\(\)|\( /);
      for (const block of blocks) expect(ids).toContain(block);
      for (const cable of cables) expect(inputs).toContain(cable);
      // Ids stand for the labels that these blocks do not have: every one that is named is one that the sentence speaks of.
      for (const [named] of say.matchAll(/\bb\d+-\d+\b/g)) expect(blocks).toContain(named);
    }
    for (const { blocks, cables } of constructions) {
      for (const block of blocks) expect(ids).toContain(block);
      for (const cable of cables) expect(inputs).toContain(cable);
    }
  });

  it.each(seeds.slice(0, 12))('is the same in whatever order the file lists it (seed %i)', (seed) => {
    const patch = seededPatch(seed, 20);
    const once = explained(patch);
    expect(explained(patch)).toEqual(once);
    expect(explained(shuffled(patch, seed + 1))).toEqual(once);
  });

  it.each([1, 2])('has less than 40 sentences for 300 blocks, and is made in a moment (seed %i)', (seed) => {
    const patch = seededPatch(seed, 300);
    const heard = hear(patch, { seconds: 0.02 });
    const start = performance.now();
    const { sentences } = explainPatch(patch, fullCatalogue, heard);
    // Some tenths of a second; much more on a machine with other things to do, but never the minutes of a search that explodes.
    expect(performance.now() - start).toBeLessThan(5000);
    expect(sentences.length).toBeGreaterThan(5);
    expect(sentences.length).toBeLessThan(40);
    for (const { say } of sentences) expect(say.length).toBeLessThan(600);
  });
});
