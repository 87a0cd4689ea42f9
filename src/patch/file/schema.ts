/** The shape of a version 1 document, field by field. What needs the catalogue or other parts of the patch is in `references.ts`. */
import { FORMAT, VERSION } from '../document.ts';
import { MAXIMUM_BLOCKS, MAXIMUM_CABLES, MAXIMUM_RECORDING_SECONDS, MAXIMUM_SECONDS } from '../limits.ts';
import { anyRecord, type Check, id, later, list, number, oneOf, record, text, textLike, tuple } from './shape.ts';

const port = (what: string): Check => tuple(what, 'a pair ["block", "port"]', [text('The block of a place'), text('The port of a place')]);
const settingPlace = tuple('A setting', 'a pair ["block", "setting"]', [text('The block of a setting'), text('The name of a setting')]);

const coordinate = number('A coordinate', { minimum: -1_000_000, maximum: 1_000_000 });
const block = record(
  'A block',
  { id: id('The id of a block'), type: text('The type of a block') },
  {
    label: text('A label'),
    at: tuple('The place of a block', 'a pair of numbers [x, y]', [coordinate, coordinate]),
    settings: anyRecord('The settings of a block'),
  },
);

const cable = record('A cable', { from: port('The start of a cable'), to: port('The end of a cable') });

const note = record(
  'A note of the score',
  {
    at: number('The time of a note', { minimum: 0, maximum: MAXIMUM_SECONDS, unit: 's' }),
    note: number('A note', { minimum: 0, maximum: 127, whole: true }),
    length: number('The length of a note', { above: 0, maximum: MAXIMUM_SECONDS, unit: 's' }),
  },
  { velocity: number('The velocity of a note', { minimum: 0, maximum: 1 }) },
);

const point = tuple('A point of a move', 'a pair of numbers [seconds, value]', [
  number('The time of a point', { minimum: 0, maximum: MAXIMUM_SECONDS, unit: 's' }),
  number('The value of a point', {}),
]);

const move = record('A move', {
  block: text('The block of a move'),
  setting: text('The setting of a move'),
  points: list('The points of a move', point),
});

const probe = record('A probe', { at: port('The place of a probe') });

const variation = record('A variation', {
  id: id('The id of a variation'),
  title: text('The title of a variation'),
  changes: list(
    'The changes of a variation',
    oneOf('A change of a variation', {
      set: record('This change', { set: settingPlace, value: later }),
      connect: record('This change', { connect: cable }),
      disconnect: record('This change', { disconnect: port('The input to disconnect') }),
      add: record('This change', { add: block }),
      remove: record('This change', { remove: text('The block to remove') }),
    }),
  ),
});

const stage = record(
  'A stage',
  { title: text('The title of a stage') },
  {
    say: text('The caption of a stage'),
    blocks: list('The blocks of a stage', text('A block of a stage')),
    cables: list('The cables of a stage', port('A cable of a stage')),
    settings: list(
      'The settings of a stage',
      tuple('A setting of a stage', 'a triple ["block", "setting", value]', [
        text('The block of a setting'),
        text('The name of a setting'),
        later,
      ]),
    ),
    listen: number('The listening time of a stage', { above: 0, maximum: MAXIMUM_SECONDS, unit: 's' }),
  },
);

const recording = record('A recording', {
  id: id('The id of a recording'),
  name: text('The name of a recording'),
  sha256: textLike('The sha256 of a recording', /^[0-9a-f]{64}$/, '64 digits 0 to 9 and a to f', 'not-a-value'),
  seconds: number('The length of a recording', { above: 0, maximum: MAXIMUM_RECORDING_SECONDS, unit: 's' }),
});

export const patchShape = record(
  'A patch',
  {
    // Both have been looked at before the shape is.
    format: textLike('The format', new RegExp(`^${FORMAT}$`), `"${FORMAT}"`, 'not-a-patch'),
    version: number('The version', { minimum: VERSION, maximum: VERSION, whole: true }),
    blocks: list('The list of blocks', block, MAXIMUM_BLOCKS),
    cables: list('The list of cables', cable, MAXIMUM_CABLES),
  },
  {
    title: text('The title'),
    summary: text('The summary'),
    notes: text('The notes'),
    tags: list('The list of tags', text('A tag')),
    seed: number('The seed', { minimum: 0, maximum: Number.MAX_SAFE_INTEGER, whole: true }),
    seconds: number('The length of a take', { above: 0, maximum: MAXIMUM_SECONDS, unit: 's' }),
    score: list('The score', note),
    moves: list('The list of moves', move),
    probes: list('The list of probes', probe),
    variations: list('The list of variations', variation),
    stages: list('The list of stages', stage),
    recordings: list('The list of recordings', recording),
    author: text('The author'),
    date: text('The date'),
    licence: text('The licence'),
    basedOn: text('The patch it is based on'),
  },
);
