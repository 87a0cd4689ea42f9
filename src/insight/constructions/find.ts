/** The constructions that a patch holds. */
import { chance } from './chance.ts';
import type { Construction, Part } from './construction.ts';
import { envelopes } from './envelopes.ts';
import { movement } from './movement.ts';
import { type Match, matchesOf } from './pattern.ts';
import { compareIds, type Reading } from './reading.ts';
import { rhythm } from './rhythm.ts';
import { sound } from './sound.ts';

/** In the order in which they are named. */
export const constructions: readonly Construction[] = [...movement, ...envelopes, ...sound, ...rhythm, ...chance];

export interface Found extends Part {
  readonly construction: Construction;
}

/** All that are found, in the order of the list and within each in that of the ids; the same whatever the order of the document. */
export function findConstructions(reading: Reading): readonly Found[] {
  const all = constructions.flatMap((construction) => partsOf(construction, reading).map((part) => ({ ...part, construction })));
  return all.filter(({ construction: { within = [] }, blocks, heads }) => {
    const more = new Set(
      all.filter((other) => within.includes(other.construction.id)).flatMap((other) => other.blocks.slice(0, other.heads)),
    );
    return !blocks.slice(0, heads).every((id) => more.has(id));
  });
}

function partsOf(construction: Construction, reading: Reading): readonly Part[] {
  const parts = new Map<string, Part>();
  for (const part of [...(construction.find?.(reading) ?? []), ...patternParts(construction, reading)]) {
    const heads = part.blocks.slice(0, part.heads);
    const key = [...heads].sort(compareIds).join(' ');
    const before = parts.get(key);
    parts.set(key, before ? joined(before, part) : { ...part, blocks: unique(part.blocks), cables: unique(part.cables) });
  }
  return [...parts].sort(([a], [b]) => compareIds(a, b)).map(([, part]) => ordered(part));
}

function patternParts({ heads, patterns = [] }: Construction, reading: Reading): readonly Part[] {
  return patterns.flatMap((pattern) =>
    matchesOf(pattern, reading).map((match) => {
      const named = heads ?? Object.keys(pattern.blocks);
      const first = named.map((name) => idOf(match, name));
      const rest = Object.keys(pattern.blocks).map((name) => idOf(match, name));
      return {
        blocks: unique([...first, ...rest, ...match.leads.flatMap(({ via }) => via)]),
        heads: first.length,
        cables: match.leads.flatMap(({ cables }) => cables),
      };
    }),
  );
}

const idOf = ({ blocks }: Match, name: string): string => blocks[name]?.block.id ?? '';
const unique = (list: readonly string[]): readonly string[] => [...new Set(list)];

function joined(a: Part, b: Part): Part {
  return { blocks: unique([...a.blocks, ...b.blocks]), heads: a.heads, cables: unique([...a.cables, ...b.cables]) };
}

/** Heads as they are, everything else as people count. */
function ordered({ blocks, heads, cables }: Part): Part {
  const rest = blocks.slice(heads).sort(compareIds);
  return { blocks: [...blocks.slice(0, heads), ...rest], heads, cables: [...cables].sort(compareIds) };
}
