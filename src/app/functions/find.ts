/** Finding a function by what people type: its title, the other words for it, its group. */
import type { BlockGroup, BlockSpec } from '../../patch/blockSpec.ts';

/** Groups in the order of the list, with their headings. */
export const groups: readonly (readonly [BlockGroup, string])[] = [
  ['sound', 'Sound sources'],
  ['shape', 'Levels and shapes'],
  ['filter', 'Filters'],
  ['modulation', 'Modulation'],
  ['envelope', 'Envelopes'],
  ['time', 'Time and pitch'],
  ['space', 'Space and output'],
];

const headings = new Map(groups);

/**
 * How well `typed` names the function: 0 not at all; higher is better. Every typed word must begin a word of the
 * title (best), of the other names, or of the group's heading, or occur inside the title.
 */
export function matchOf(spec: BlockSpec, typed: string): number {
  const words = wordsOf(typed);
  if (words.length === 0) return 1;
  const title = spec.title.toLowerCase();
  const fields: readonly (readonly [number, readonly string[]])[] = [
    [4, wordsOf(title)],
    [3, (spec.also ?? []).flatMap(wordsOf)],
    [2, [spec.type.toLowerCase()]],
    [1, wordsOf(headings.get(spec.group) ?? '')],
  ];
  let sum = title.startsWith(words.join(' ')) ? 2 : 0;
  for (const word of words) {
    const found = fields.find(([, names]) => names.some((name) => name.startsWith(word)));
    const weight = found?.[0] ?? (title.includes(word) ? 0.5 : 0);
    if (weight === 0) return 0;
    sum += weight;
  }
  return sum;
}

/** The functions that match, best first; equal ones in the order of the list. */
export function findFunctions(specs: readonly BlockSpec[], typed: string): readonly BlockSpec[] {
  return inListOrder(specs)
    .map((spec) => [matchOf(spec, typed), spec] as const)
    .filter(([match]) => match > 0)
    .sort(([a], [b]) => b - a)
    .map(([, spec]) => spec);
}

/** By group, and by title within a group. */
export function inListOrder(specs: readonly BlockSpec[]): readonly BlockSpec[] {
  const rank = new Map(groups.map(([group], i) => [group, i]));
  return [...specs].sort((a, b) => (rank.get(a.group) ?? 0) - (rank.get(b.group) ?? 0) || a.title.localeCompare(b.title, 'en'));
}

function wordsOf(text: string): readonly string[] {
  return text
    .toLowerCase()
    .split(/[^\p{L}\p{N}]+/u)
    .filter(Boolean);
}
