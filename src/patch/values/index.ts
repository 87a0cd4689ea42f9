/** Values as people type and read them. */
export { formatValue, keySettingsLine, lowerFirst } from './format.ts';
export { hertzNote, nearestNote, noteHertz, noteName, noteNumber, noteVolts, voltsNote } from './notes.ts';
export { parseValue } from './parse.ts';
export { fromTravel, toTravel } from './travel.ts';
