/** The name by which drawing, page, sheet and sentences call a block. */
import type { BlockSpec } from './blockSpec.ts';
import type { Block } from './document.ts';

/**
 * The block's own label; without one its function's title, numbered from the second on ("Oscillator", "Oscillator 2"),
 * as its id is. An id that somebody chose by hand stands for itself.
 */
export function blockLabel(block: Pick<Block, 'id' | 'label'>, spec: Pick<BlockSpec, 'stem' | 'title'> | undefined): string {
  const own = block.label?.trim();
  if (own) return own;
  const number = spec && block.id.startsWith(spec.stem) ? block.id.slice(spec.stem.length) : '';
  if (!spec || !/^[1-9]\d*$/.test(number)) return block.id;
  const title = spec.title.replace(/\s*[,(].*$/, '');
  return number === '1' ? title : `${title} ${number}`;
}
