/**
 * Writes scales.ts: every scale of the dictionary of the `tonal` library (MIT), its other names included, in the
 * dictionary's order (the best known first, then by number of notes). Names that are people's give way to what they
 * describe. `node scales.design.mjs > scales.ts`
 */
import { ScaleType } from 'tonal';
import { plainNames } from './plainNames.mjs';

const rows = ScaleType.all().flatMap((scale) => plainNames(scale).map((word) => ({ word, chroma: scale.chroma })));
const twice = rows.filter(({ word }, i) => rows.findIndex((row) => row.word === word) !== i);
if (twice.length > 0) throw new Error(`Named twice: ${twice.map(({ word }) => word).join(', ')}`);

/** The root is the first character of a chroma and bit 0 of a mask. */
const mask = (chroma) => `0b${[...chroma].reverse().join('')}`;
const quoted = (word) => (word.includes("'") ? `"${word}"` : `'${word}'`);

console.log(`/** Written by scales.design.mjs from the dictionary of scales of the \`tonal\` library. Read by the spec and by the kernel. */

/** Names of 12-tone scales; several may name the same notes. */
export const scaleNames = [
${rows.map(({ word }) => `  ${quoted(word)},`).join('\n')}
];

/** The notes of each scale: bit k stands for k semitones above the root. */
export const scaleMasks = [
${rows.map(({ word, chroma }) => `  ${mask(chroma)}, // ${word}`).join('\n')}
];`);
