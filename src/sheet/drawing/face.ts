/** The two lines of text above a block: its name and its key settings ("Low voice", "110 Hz"). */

import type { BlockSpec } from '../../patch/blockSpec.ts';
import type { Block } from '../../patch/document.ts';
import { blockLabel } from '../../patch/label.ts';
import { keySettingsLine } from '../../patch/values/index.ts';
import type { BlockFace } from './geometry.ts';

/** Which output is taken is said at the ports. */
export function faceOf(block: Block, spec: BlockSpec): BlockFace {
  return { label: blockLabel(block, spec), line: keySettingsLine(block, spec) };
}
