// @vitest-environment node

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { randomPatch } from '../../../tests/support/randomPatch.ts';
import { smallCatalogue } from '../../../tests/support/smallCatalogue.ts';
import type { Patch } from '../document.ts';
import { readPatch } from './read.ts';
import { writePatch } from './write.ts';

describe('writePatch', () => {
  it('is read back as the same patch, and written again as the same text', () => {
    fc.assert(
      fc.property(randomPatch(smallCatalogue), (patch) => {
        const written = writePatch(patch);
        const result = readPatch(written, smallCatalogue);
        expect(result).toEqual({ patch });
        expect('patch' in result && writePatch(result.patch)).toBe(written);
      }),
      { numRuns: 150 },
    );
  });

  it('writes a title that needs escaping, and leaves empty fields out', () => {
    const patch: Patch = {
      title: 'A "lamp"\n\\',
      summary: '',
      tags: [],
      moves: [],
      blocks: [{ id: 'a', type: 'vca', label: '', settings: {} }],
      cables: [],
    };
    expect(writePatch(patch)).toBe(
      [
        '{',
        '  "format": "signal-sketchbook/patch",',
        '  "version": 1,',
        String.raw`  "title": "A \"lamp\"\n\\",`,
        '  "blocks": [',
        '    { "id": "a", "type": "vca" }',
        '  ],',
        '  "cables": []',
        '}',
        '',
      ].join('\n'),
    );
  });

  it('one edit changes one line', () => {
    const patch: Patch = { blocks: ['a', 'b', 'c'].map((id) => ({ id, type: 'vca', at: [0, 0] })), cables: [] };
    const moved: Patch = { ...patch, blocks: patch.blocks.map((block) => (block.id === 'b' ? { ...block, at: [8, 0] } : block)) };
    const [before, after] = [writePatch(patch).split('\n'), writePatch(moved).split('\n')];
    expect(after.filter((line, i) => line !== before[i])).toEqual(['    { "id": "b", "type": "vca", "at": [8, 0] },']);
    expect(after).toHaveLength(before.length);
  });

  it('keeps whatever order the fields came in to its own', () => {
    const cable = { to: ['a', 'in'], from: ['b', 'out'] } as const;
    const patch: Patch = {
      cables: [cable],
      blocks: [
        { at: [0, 0], type: 'vca', id: 'a' },
        { type: 'vca', id: 'b' },
      ],
      title: 'x',
    };
    const lines = writePatch(patch).split('\n');
    expect(lines).toContain('    { "id": "a", "type": "vca", "at": [0, 0] },');
    expect(lines).toContain('    { "from": ["b", "out"], "to": ["a", "in"] }');
  });
});
