// @vitest-environment node
import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { smallCatalogue } from '../../../tests/support/smallCatalogue.ts';
import { FORMAT } from '../document.ts';
import type { RuleId } from '../refusal.ts';
import type { JsonObject } from './json.ts';
import type { Migration } from './migrations.ts';
import { migrateDocument, migrations } from './migrations.ts';
import { readPatch, readVersion } from './read.ts';
import { writePatch } from './write.ts';

const folder = new URL('../../../tests/files/v1/', import.meta.url);
const text = (name: string): string => readFileSync(new URL(`${name}.patch.json`, folder), 'utf8');
const stored = (path: string): string[] =>
  readdirSync(new URL(path, folder)).flatMap((name) => (name.endsWith('.patch.json') ? [name.slice(0, -'.patch.json'.length)] : []));

/** Refused files: name, path, rule, and the sentence where it is worth pinning down. */
const refusals: readonly (readonly [name: string, path: string, rule: RuleId, say?: string])[] = [
  ['not-json', '', 'bad-json', 'This is not JSON: a value is missing or malformed at line 2, column 15.'],
  ['empty-file', '', 'bad-json', 'This is not JSON: it ends too early at line 1, column 1.'],
  ['field-twice', 'seed', 'already-there', 'The field "seed" is written twice; keep one.'],
  ['a-list', '', 'not-a-patch', 'A patch file holds an object, not a list.'],
  ['other-format', 'format', 'not-a-patch', 'This is no patch file: its "format" must be "signal-sketchbook/patch", not "shopping-list".'],
  ['no-format', 'format', 'not-a-patch', 'This is no patch file: its "format" must be "signal-sketchbook/patch", not nothing.'],
  ['no-version', 'version', 'missing-field', 'A patch needs the field "version".'],
  [
    'newer-version',
    'version',
    'newer-version',
    'This patch was made by a newer version: its form is number 2, and this one reads up to 1.',
  ],
  ['version-as-text', 'version', 'wrong-type', 'The version is a whole number up to 1, not "1".'],
  ['no-blocks', 'blocks', 'missing-field', 'A patch needs the field "blocks".'],
  ['blocks-as-object', 'blocks', 'wrong-type', 'The list of blocks is a list, not an object.'],
  ['unknown-field', 'colour', 'unknown-field'],
  [
    'unknown-block-field',
    'blocks[5].gain',
    'unknown-field',
    'A block has no field "gain"; it takes "id", "type", "label", "at", "settings".',
  ],
  ['unknown-odd-field', '["my field"]', 'unknown-field'],
  ['title-as-number', 'title', 'wrong-type', 'The title is a text, not 7.'],
  ['block-without-type', 'blocks[5].type', 'missing-field', 'A block needs the field "type".'],
  ['bad-id', 'blocks[5].id', 'bad-id', 'The id of a block is a letter, then up to 31 letters, digits, _ or -; "1st" is not.'],
  ['long-id', 'blocks[5].id', 'bad-id'],
  ['duplicate-id', 'blocks[5].id', 'duplicate-id', 'The id "osc1" is taken by blocks[0]; each block needs its own.'],
  ['unknown-type', 'blocks[5].type', 'unknown-type', 'There is no function "oscilator"; did you mean "oscillator"?'],
  ['unknown-type-far', 'blocks[5].type', 'unknown-type', 'There is no function "bagpipe"; the catalogue lists what there is.'],
  ['place-of-three', 'blocks[5].at', 'wrong-type', 'The place of a block is a pair of numbers [x, y], not a list of 3.'],
  ['settings-as-list', 'blocks[5].settings', 'wrong-type', 'The settings of a block are an object, not a list.'],
  ['unknown-setting', 'blocks[5].settings.speed', 'no-such-setting'],
  ['setting-too-high', 'blocks[5].settings.tune', 'out-of-range', 'Tune goes from 8 to 12500 Hz; 20000 is outside.'],
  ['setting-too-low', 'blocks[5].settings.level', 'out-of-range', 'Level goes from -60 to 6 dB; -61 is outside.'],
  ['setting-not-a-number', 'blocks[5].settings.tune', 'not-a-value', 'Tune takes a finite number from 8 to 12500 Hz, not NaN.'],
  ['setting-infinite', 'blocks[5].settings.tune', 'not-a-value', 'Tune takes a finite number from 8 to 12500 Hz, not Infinity.'],
  ['place-infinite', 'blocks[5].at[1]', 'not-a-value', 'A coordinate is a number from -1000000 to 1000000; it cannot be -Infinity.'],
  ['setting-as-text', 'blocks[5].settings.tune', 'wrong-type', 'Tune is a number from 8 to 12500 Hz, not "A4".'],
  ['setting-half', 'blocks[5].settings.octave', 'out-of-range', 'Octave takes whole numbers from -5 to 5 octaves, not 0.5.'],
  ['switch-as-number', 'blocks[5].settings.ceiling', 'wrong-type', 'Ceiling is true or false, not 1.'],
  ['unknown-choice', 'blocks[5].settings.sync', 'out-of-range', 'Sync takes one of "hard", "soft", not "firm".'],
  ['steps-too-many', 'blocks[5].settings.steps', 'too-many', 'Steps takes at most 16 records, not 17.'],
  ['step-field-unknown', 'blocks[5].settings.steps[1].colour', 'unknown-field'],
  ['step-field-out-of-range', 'blocks[5].settings.steps[1].pitch', 'out-of-range', 'Pitch goes from -10 to 10 V; 11 is outside.'],
  ['step-as-number', 'blocks[5].settings.steps[0]', 'wrong-type'],
  ['cable-from-nowhere', 'cables[0].from[0]', 'no-such-block', 'There is no block "osc9" in this patch.'],
  ['cable-to-nowhere', 'cables[0].to[0]', 'no-such-block', 'There is no block "amp9" in this patch.'],
  ['cable-unknown-output', 'cables[0].from[1]', 'no-such-port'],
  ['cable-unknown-input', 'cables[0].to[1]', 'no-such-port', 'The function "output" has no input "middle"; it has "left", "right".'],
  ['cable-between-outputs', 'cables[0].to[1]', 'no-such-port'],
  ['cable-from-text', 'cables[0].from', 'wrong-type', 'The start of a cable is a pair ["block", "port"], not "osc1.saw".'],
  ['cable-with-id', 'cables[0].id', 'unknown-field', 'A cable has no field "id"; it takes "from", "to".'],
  ['two-cables-into-one-input', 'cables[1].to', 'input-taken', '"amp1.in" already has cables[0]; an input takes one cable.'],
  ['seed-negative', 'seed', 'out-of-range'],
  ['seed-half', 'seed', 'out-of-range'],
  ['no-seconds', 'seconds', 'out-of-range', 'The length of a take is a number above 0 up to 86400 s; 0 is not.'],
  ['tag-as-number', 'tags[1]', 'wrong-type', 'A tag is a text, not 3.'],
  ['note-too-high', 'score[0].note', 'out-of-range', 'A note is a whole number from 0 to 127; 128 is not.'],
  ['note-without-length', 'score[0].length', 'missing-field', 'A note of the score needs the field "length".'],
  ['note-too-loud', 'score[0].velocity', 'out-of-range'],
  ['note-before-start', 'score[0].at', 'out-of-range'],
  ['move-of-nothing', 'moves[0].block', 'no-such-block', 'There is no block "osc9" in this patch.'],
  ['move-of-unknown-setting', 'moves[0].setting', 'no-such-setting'],
  ['move-of-choice', 'moves[0].setting', 'not-usable-here', 'Sync cannot be moved by hand over time: only settings that are numbers can.'],
  ['move-out-of-range', 'moves[0].points[1][1]', 'out-of-range', 'Tune goes from 8 to 12500 Hz; 7 is outside.'],
  ['move-backwards', 'moves[0].points[2][0]', 'out-of-range', 'The points of a move stand in order of time; 1 s comes after 2 s.'],
  ['two-moves-of-one-setting', 'moves[1]', 'already-there'],
  ['probe-on-input', 'probes[0].at[1]', 'no-such-port', 'The function "vca" has no output "in"; it has "out".'],
  ['probe-twice', 'probes[1].at', 'already-there', '"amp1.out" already has probes[0]; an output takes one probe.'],
  ['variation-twice', 'variations[1].id', 'duplicate-id'],
  [
    'variation-of-two-kinds',
    'variations[0].changes[0]',
    'unknown-field',
    'A change of a variation has exactly one of the fields "set", "connect", "disconnect", "add", "remove".',
  ],
  ['variation-of-no-kind', 'variations[0].changes[0]', 'missing-field'],
  ['variation-without-value', 'variations[0].changes[0].value', 'missing-field', 'This change needs the field "value".'],
  ['variation-out-of-range', 'variations[0].changes[0].value', 'out-of-range'],
  ['variation-unknown-setting', 'variations[0].changes[0].set[1]', 'no-such-setting'],
  ['variation-loose-cable', 'variations[0].changes[0].connect.from[0]', 'no-such-block'],
  ['variation-after-remove', 'variations[0].changes[1].set[0]', 'no-such-block', 'There is no block "osc1" in this patch.'],
  ['variation-adds-taken-id', 'variations[0].changes[0].add.id', 'duplicate-id', 'The id "osc1" is taken; each block needs its own.'],
  ['variation-disconnects-output', 'variations[0].changes[0].disconnect[1]', 'no-such-port'],
  ['stage-without-title', 'stages[0].title', 'missing-field', 'A stage needs the field "title".'],
  ['stage-unknown-block', 'stages[0].blocks[1]', 'no-such-block'],
  ['stage-unknown-cable', 'stages[0].cables[0][1]', 'no-such-port'],
  ['stage-setting-out-of-range', 'stages[0].settings[0][2]', 'out-of-range'],
  [
    'stage-setting-of-two',
    'stages[0].settings[0]',
    'wrong-type',
    'A setting of a stage is a triple ["block", "setting", value], not a list of 2.',
  ],
  ['recording-bad-hash', 'recordings[0].sha256', 'not-a-value', 'The sha256 of a recording is 64 digits 0 to 9 and a to f; "abc" is not.'],
  ['recording-not-there', 'blocks[5].settings.recording', 'no-such-recording', 'There is no recording "fig" in this patch; it has "fog".'],
  [
    'recording-without-list',
    'blocks[5].settings.recording',
    'no-such-recording',
    'There is no recording "fog" in this patch; it has none.',
  ],
  ['recording-as-number', 'blocks[5].settings.recording', 'wrong-type'],
  ['variation-recording-not-there', 'variations[0].changes[0].value', 'no-such-recording'],
  ['stage-recording-not-there', 'stages[0].settings[0][2]', 'no-such-recording'],
  ['recording-too-long', 'recordings[0].seconds', 'out-of-range', 'The length of a recording is a number above 0 up to 30 s; 31 is not.'],
];

describe('readPatch', () => {
  it.each(refusals)('refuses %s at %s', (name, path, rule, say) => {
    const result = readPatch(text(`refused/${name}`), smallCatalogue);
    expect(result).toEqual({ problems: [{ path, rule, say: say ?? expect.stringMatching(/^[A-Z"].*\.$/) }] });
  });

  it('has a line above for each refused file', () => {
    expect(refusals.map(([name]) => name).sort()).toEqual(stored('refused/').sort());
  });

  it.each(stored('.'))('reads %s, and writing it changes at most its spelling', (name) => {
    const result = readPatch(text(name), smallCatalogue);
    if (!('patch' in result)) throw new Error(JSON.stringify(result.problems));
    const written = writePatch(result.patch);
    expect(readPatch(written, smallCatalogue)).toEqual({ patch: expect.anything() });
    if (name !== 'hand-written') expect(written).toBe(text(name));
  });

  it('gives the document without format and version', () => {
    expect(readPatch(text('smallest'), smallCatalogue)).toEqual({ patch: { blocks: [], cables: [] } });
  });

  it('lists every problem at once, shape and references alike', () => {
    const document = {
      format: FORMAT,
      version: 1,
      blocks: [
        { id: '1', type: 'vca' },
        { id: 'a', type: 'x' },
      ],
      cables: [{ from: ['b', 'c'], to: ['a', 'd'] }],
      x: 1,
    };
    const result = readPatch(JSON.stringify(document), smallCatalogue);
    expect('problems' in result && result.problems.map(({ path }) => path)).toEqual([
      'blocks[0].id',
      'x',
      'blocks[1].type',
      'cables[0].from[0]',
    ]);
  });

  it('counts the problems that it does not list', () => {
    const document = { format: FORMAT, version: 1, blocks: Array.from({ length: 150 }, () => ({ id: 'a' })), cables: [] };
    const result = readPatch(JSON.stringify(document), smallCatalogue);
    expect('problems' in result && [result.problems.length, result.problems.at(-1)?.say]).toEqual([
      101,
      'There are 50 more problems; mend these first.',
    ]);
  });

  it('takes 2,000 blocks and 8,000 cables, and not one more', () => {
    const blocks = Array.from({ length: 2000 }, (_, i) => ({ id: `seq${i}`, type: 'oscillator' }));
    const cables = blocks.flatMap(({ id }) => ['pitch', 'fmExp'].map((port) => ({ from: ['seq0', 'saw'], to: [id, port] })));
    const sized = (extraBlocks: number, extraCables: number) => ({
      format: FORMAT,
      version: 1,
      blocks: [...blocks, ...Array.from({ length: extraBlocks }, (_, i) => ({ id: `more${i}`, type: 'vca' }))],
      cables: [...cables, ...Array(extraCables).fill(cables[0])],
    });
    expect(readPatch(JSON.stringify(sized(0, 0)), smallCatalogue)).toHaveProperty('patch');
    expect(readPatch(JSON.stringify(sized(1, 0)), smallCatalogue)).toEqual({
      problems: [{ path: 'blocks', rule: 'too-many', say: 'The list of blocks has at most 2000 entries, not 2001.' }],
    });
    expect(readPatch(JSON.stringify(sized(0, 4001)), smallCatalogue)).toEqual({
      problems: [{ path: 'cables', rule: 'too-many', say: 'The list of cables has at most 8000 entries, not 8001.' }],
    });
  });

  it('refuses files over 20 MB, counted in bytes of UTF-8', () => {
    const whole = (notes: string) => JSON.stringify({ format: FORMAT, version: 1, notes, blocks: [], cables: [] });
    const room = 20_000_000 - whole('').length;
    expect(readPatch(whole('x'.repeat(room)), smallCatalogue)).toHaveProperty('patch');
    const problem = { path: '', rule: 'too-large', say: 'A patch file has at most 20 MB; this one has 20.0 MB.' };
    expect(readPatch(whole('x'.repeat(room + 1)), smallCatalogue)).toEqual({ problems: [problem] });
    expect(readPatch(whole('é'.repeat(room / 2 + 1)), smallCatalogue)).toEqual({ problems: [problem] });
    expect(readPatch(new Uint8Array(20_000_001), smallCatalogue)).toEqual({ problems: [problem] });
  });

  it('reads bytes of UTF-8, with or without a byte order mark, and refuses other bytes', () => {
    const encode = (source: string) => new TextEncoder().encode(source);
    expect(readPatch(encode(text('every-field')), smallCatalogue)).toEqual(readPatch(text('every-field'), smallCatalogue));
    expect(readPatch(encode(`\ufeff${text('smallest')}`), smallCatalogue)).toHaveProperty('patch');
    expect(readPatch(`\ufeff${text('smallest')}`, smallCatalogue)).toHaveProperty('patch');
    expect(readPatch(new Uint8Array([0x7b, 0xff, 0x7d]), smallCatalogue)).toEqual({
      problems: [{ path: '', rule: 'bad-json', say: 'This is not JSON: the bytes are not UTF-8 text.' }],
    });
  });
});

/** A made-up past of a form number 3: number 1 called blocks "boxes", numbers 1 and 2 wrote the seed as a text. */
const past: readonly Migration[] = [
  { to: 3, say: 'The seed is a number.', migrate: ({ seed, ...rest }) => ({ ...rest, seed: Number(seed) }) },
  {
    to: 2,
    say: 'Boxes are called blocks.',
    migrate: ({ boxes = [], ...rest }) => ({ ...rest, blocks: boxes }),
  },
];

describe('migrations', () => {
  const old: JsonObject = { format: FORMAT, version: 1, seed: '5', boxes: [{ id: 'osc1', type: 'oscillator' }], cables: [] };
  const now = { patch: { seed: 5, blocks: [{ id: 'osc1', type: 'oscillator' }], cables: [] } };

  it('run one after the other, from where the file stands', () => {
    expect(readVersion(JSON.stringify(old), smallCatalogue, past, 3)).toEqual(now);
    const newer = { format: FORMAT, version: 2, seed: '5', blocks: old.boxes!, cables: [] };
    expect(readVersion(JSON.stringify(newer), smallCatalogue, past, 3)).toEqual(now);
  });

  it('leave what they do not know to the strict check', () => {
    expect(readVersion(JSON.stringify({ ...old, lamps: 1 }), smallCatalogue, past, 3)).toMatchObject({
      problems: [{ path: 'lamps', rule: 'unknown-field' }],
    });
    expect(readVersion(JSON.stringify({ ...old, version: 4 }), smallCatalogue, past, 3)).toMatchObject({
      problems: [{ rule: 'newer-version' }],
    });
  });

  it('without them the old file is refused', () => {
    expect(readPatch(JSON.stringify(old), smallCatalogue)).toHaveProperty('problems');
  });

  it('a missing step is a programmer error, and the shipped list has none missing', () => {
    expect(() => migrateDocument(old, past.slice(0, 1), 3)).toThrow(/version 2/);
    expect(migrations.map(({ to }) => to)).toEqual(migrations.map((_, i) => i + 2));
  });
});
