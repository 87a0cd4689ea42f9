/** Blocks on the clipboard, as readable JSON text that can be pasted into another window, or into a letter. */
import type { Fragment } from '../../patch/commands/index.ts';
import type { Block, Cable, Place } from '../../patch/document.ts';

const FORMAT = 'signal-sketchbook/fragment';

export function fragmentText({ blocks, cables }: Fragment): string {
  return JSON.stringify({ format: FORMAT, blocks, cables }, null, 2);
}

/** The fragment in a text; undefined when it is none. Block types, settings and places are checked when it is pasted. */
export function readFragment(text: string): Fragment | undefined {
  try {
    const data: unknown = JSON.parse(text);
    if (!isRecord(data) || data.format !== FORMAT || !Array.isArray(data.blocks) || !Array.isArray(data.cables)) return undefined;
    if (!data.blocks.every(isBlock) || !data.cables.every(isCable)) return undefined;
    return { blocks: data.blocks, cables: data.cables };
  } catch {
    return undefined;
  }
}

function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

function isBlock(value: unknown): value is Block {
  return (
    isRecord(value) &&
    typeof value.id === 'string' &&
    typeof value.type === 'string' &&
    (value.label === undefined || typeof value.label === 'string') &&
    (value.settings === undefined || isRecord(value.settings)) &&
    (value.at === undefined || (Array.isArray(value.at) && value.at.length === 2 && value.at.every(Number.isFinite)))
  );
}

function isPlace(value: unknown): value is Place {
  return Array.isArray(value) && value.length === 2 && value.every((part) => typeof part === 'string');
}

function isCable(value: unknown): value is Cable {
  return isRecord(value) && isPlace(value.from) && isPlace(value.to);
}
