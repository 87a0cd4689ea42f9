/**
 * By the notes of a scale: the name or names that describe it, where the dictionary's own are people's.
 * @type {Record<string, string[]>}
 */
const described = {
  110010010100: ['mystic pentatonic'],
  110110101010: ['altered', 'super locrian', 'diminished whole tone'],
};

/**
 * Names of a scale without people in them: the modes of limited transposition by their number, a five-note cut of the mystic
 * chord by its chord. `chroma` is the dictionary's string of twelve digits that begins with the root.
 * @param {{ name: string, aliases: readonly string[], chroma: string }} scale
 * @returns {string[]}
 */
export function plainNames({ name, aliases, chroma }) {
  return described[chroma] ?? [name, ...aliases].map((word) => word.replace(/^\S+'s mode #(\d)$/, 'limited transposition $1'));
}
