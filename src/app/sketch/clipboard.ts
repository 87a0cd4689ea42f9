/** Blocks on the clipboard: the text of a small patch, which can be pasted into another window, a letter or a file. */
import type { BlockSpec } from '../../patch/blockSpec.ts';
import type { Fragment } from '../../patch/commands/index.ts';
import { readPatch } from '../../patch/file/read.ts';
import { writePatch } from '../../patch/file/write.ts';
import { type Refusal, refuse } from '../../patch/refusal.ts';

export function fragmentText(fragment: Fragment): string {
  return writePatch(fragment);
}

/** The blocks and cables of a patch in a text, checked as strictly as a file. */
export function readFragment(text: string, catalogue: ReadonlyMap<string, BlockSpec>): Fragment | Refusal {
  if (!text.trimStart().startsWith('{')) return refuse('not-a-patch', 'What is on the clipboard is no part of a patch.');
  const result = readPatch(text, catalogue);
  if ('patch' in result) {
    const { blocks, cables, recordings } = result.patch;
    return { blocks, cables, ...(recordings && { recordings }) };
  }
  const [first] = result.problems;
  return refuse(first?.rule ?? 'not-a-patch', `What is on the clipboard cannot be pasted. ${first?.say ?? ''}`.trim());
}
