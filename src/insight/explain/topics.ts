/** What sentences of a description are about. Apart from the rest, so that the page has the words without the search. */

/** In the order in which a patch is told. */
export const topics = ['sound', 'way', 'pitch', 'rhythm', 'movement', 'chance', 'hand', 'rest'] as const;
export type Topic = (typeof topics)[number];

/** The words above the sentences of a topic. */
export const topicTitles: Readonly<Record<Topic, string>> = {
  sound: 'Where the sound comes from',
  way: 'On its way',
  pitch: 'Pitch',
  rhythm: 'Rhythm',
  movement: 'Movement',
  chance: 'Chance',
  hand: 'By hand',
  rest: 'Besides',
};
