import { isRefusal } from '../refusal.ts';
import type { Command } from './command.ts';
import { findBlocks, namesOf } from './command.ts';
import { copyBlocks } from './copyBlocks.ts';
import { pasteFragment } from './pasteFragment.ts';

export interface DuplicateBlocks {
  readonly ids: readonly string[];
  /** How far from the originals, in sketch units. */
  readonly by: readonly [number, number];
  readonly taken?: Iterable<string>;
}

/** Copies and pastes in one step. */
export const duplicateBlocks: Command<DuplicateBlocks> = (patch, catalogue, { ids, by, taken = [] }) => {
  const originals = findBlocks(patch, ids);
  if (isRefusal(originals)) return originals;
  const fragment = copyBlocks(patch, catalogue, { ids });
  if (isRefusal(fragment)) return fragment;
  const change = pasteFragment(patch, catalogue, { fragment, by, taken });
  return isRefusal(change) ? change : { ...change, label: `Duplicate ${namesOf(originals, catalogue)}` };
};
