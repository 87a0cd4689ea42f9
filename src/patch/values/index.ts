/** Values as people type and read them. */
export { formatValue, keySettingsLine, lowerFirst } from './format.ts';
export { nearestNote, noteName } from './notes.ts';
export { parseValue } from './parse.ts';
export { fromTravel, toTravel } from './travel.ts';
