// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { ferry, refusalOf, run } from '../../../tests/support/commandCase.ts';
import { smallCatalogue } from '../../../tests/support/smallCatalogue.ts';
import type { Patch, Recording } from '../document.ts';
import { checkPatch } from '../file/read.ts';
import { isRefusal } from '../refusal.ts';
import { addRecording, recordingId } from './addRecording.ts';
import { copyBlocks } from './copyBlocks.ts';
import { duplicateBlocks } from './duplicateBlocks.ts';
import { pasteFragment } from './pasteFragment.ts';
import { removeBlocks } from './removeBlocks.ts';
import { removeRecording } from './removeRecording.ts';
import { setSetting } from './setSetting.ts';

const sha = (digit: string): string => digit.repeat(64);
const fog: Recording = { id: 'fog-horn', name: 'Fog horn.wav', sha256: sha('f'), seconds: 2.5 };
const gulls: Recording = { id: 'gulls', name: 'Gulls.mp3', sha256: sha('a'), seconds: 30 };
const asChosen = ({ name, sha256, seconds }: Recording) => ({ name, sha256, seconds });

const bare: Patch = {
  ...ferry,
  blocks: [...ferry.blocks, { id: 'player1', type: 'samplePlayer' }, { id: 'player2', type: 'samplePlayer', label: 'Quay' }],
};
const [first, second] = [
  ['player1', 'recording'],
  ['player2', 'recording'],
] as const;
const one = run(addRecording, bare, { at: first, recording: asChosen(fog) }).after;
const plays = (patch: Patch): unknown[] =>
  patch.blocks.filter(({ type }) => type === 'samplePlayer').map(({ settings }) => settings?.recording);

describe('addRecording', () => {
  it('lists the file and has the block play it, in one step that can be undone', () => {
    const { after, change } = run(addRecording, bare, { at: first, recording: asChosen(fog) });
    expect(after.recordings).toEqual([fog]);
    expect(plays(after)).toEqual(['fog-horn', undefined]);
    expect(change.label).toBe('Choose Fog horn.wav for Sample player');
    expect(checkPatch(after, smallCatalogue)).toEqual([]);
  });

  it('lists a file once, whoever plays it and whatever it is called', () => {
    const { after } = run(addRecording, one, { at: second, recording: { ...asChosen(fog), name: 'Copy of fog.wav' } });
    expect(after.recordings).toEqual([fog]);
    expect(plays(after)).toEqual(['fog-horn', 'fog-horn']);
  });

  it('lets go of the file that the block played before, unless something else names it', () => {
    expect(run(addRecording, one, { at: first, recording: asChosen(gulls) }).after.recordings).toEqual([gulls]);
    const both = run(addRecording, one, { at: second, recording: asChosen(fog) }).after;
    expect(run(addRecording, both, { at: first, recording: asChosen(gulls) }).after.recordings).toEqual([fog, gulls]);
    const varied: Patch = {
      ...one,
      variations: [{ id: 'b', title: 'Ebb', changes: [{ set: ['player2', 'recording'], value: 'fog-horn' }] }],
    };
    expect(run(addRecording, varied, { at: first, recording: asChosen(gulls) }).after.recordings).toEqual([fog, gulls]);
    const staged: Patch = { ...one, stages: [{ title: 'Horn', settings: [['player2', 'recording', 'fog-horn']] }] };
    expect(run(addRecording, staged, { at: first, recording: asChosen(gulls) }).after.recordings).toEqual([fog, gulls]);
  });

  it('leaves alone what nobody played before', () => {
    const spare: Patch = { ...bare, recordings: [gulls] };
    expect(run(addRecording, spare, { at: first, recording: asChosen(fog) }).after.recordings).toEqual([gulls, fog]);
  });

  it('refuses blocks that play no files, and files that a patch may not have', () => {
    expect(refusalOf(addRecording, bare, { at: ['osc1', 'tune'], recording: asChosen(fog) })).toEqual({
      refused: 'no-such-setting',
      say: 'Low voice plays no sound file by a setting "tune".',
    });
    expect(refusalOf(addRecording, bare, { at: ['nobody', 'recording'], recording: asChosen(fog) }).refused).toBe('no-such-block');
    expect(refusalOf(addRecording, bare, { at: first, recording: { ...asChosen(fog), seconds: 31 } }).refused).toBe('out-of-range');
    expect(refusalOf(addRecording, bare, { at: first, recording: { ...asChosen(fog), sha256: 'F' } }).refused).toBe('not-a-value');
  });
});

describe('the id of a recording', () => {
  it.each([
    ['Fog horn.wav', [], 'fog-horn'],
    ['Fog horn.wav', ['fog-horn'], 'fog-horn2'],
    ['FOG.HORN.aiff', ['fog-horn', 'Fog-Horn2'], 'fog-horn3'],
    ['07 Möwe (final).flac', [], 'mowe-final'],
    ['船.mp3', [], 'sound'],
    ['', ['sound'], 'sound2'],
    [`${'a'.repeat(40)}.wav`, [], 'a'.repeat(24)],
  ])('of "%s" beside %j is %s', (name, taken, id) => {
    expect(recordingId(name, taken)).toBe(id);
  });
});

describe('removeRecording', () => {
  it('takes the file off the block and out of the patch', () => {
    const { after, change } = run(removeRecording, one, { at: first });
    expect(after).toEqual(bare);
    expect(change.label).toBe('Remove Fog horn.wav from Sample player');
  });

  it('keeps it while something else plays it', () => {
    const both = run(addRecording, one, { at: second, recording: asChosen(fog) }).after;
    const { after } = run(removeRecording, both, { at: first });
    expect([after.recordings, plays(after)]).toEqual([[fog], [undefined, 'fog-horn']]);
  });

  it('refuses where there is none', () => {
    expect(refusalOf(removeRecording, bare, { at: second })).toEqual({ refused: 'no-such-recording', say: 'Quay has no sound file.' });
  });
});

describe('other commands', () => {
  it('a setting takes the id of a recording that the patch has, or none', () => {
    expect(plays(run(setSetting, one, { block: 'player2', setting: 'recording', value: 'fog-horn' }).after)).toEqual([
      'fog-horn',
      'fog-horn',
    ]);
    expect(plays(run(setSetting, one, { block: 'player1', setting: 'recording', value: '' }).after)).toEqual([undefined, undefined]);
    expect(refusalOf(setSetting, one, { block: 'player2', setting: 'recording', value: 'gulls' })).toEqual({
      refused: 'no-such-recording',
      say: 'There is no recording "gulls" in this patch; it has "fog-horn".',
    });
    expect(refusalOf(setSetting, bare, { block: 'player2', setting: 'recording', value: 'gulls' }).say).toBe(
      'There is no recording "gulls" in this patch; it has none.',
    );
  });

  it('removing a block lets its file go, unless another one plays it', () => {
    expect(run(removeBlocks, one, { ids: ['player1'] }).after).not.toHaveProperty('recordings');
    expect(run(removeBlocks, one, { ids: ['player2', 'osc1'] }).after.recordings).toEqual([fog]);
    const both = run(addRecording, one, { at: second, recording: asChosen(fog) }).after;
    expect(run(removeBlocks, both, { ids: ['player1'] }).after.recordings).toEqual([fog]);
  });

  it('a duplicate plays the same file', () => {
    const { after } = run(duplicateBlocks, one, { ids: ['player1'], by: [16, 16] });
    expect([after.recordings, plays(after)]).toEqual([[fog], ['fog-horn', undefined, 'fog-horn']]);
  });

  it('a copy brings its file along into another patch', () => {
    const fragment = copyBlocks(one, smallCatalogue, { ids: ['player1', 'osc1'] });
    if (isRefusal(fragment)) throw new Error(fragment.say);
    expect(fragment.recordings).toEqual([fog]);
    const paste = (recordings: readonly Recording[]): Patch => run(pasteFragment, { ...ferry, recordings }, { fragment, by: [0, 0] }).after;
    const alone = paste([gulls]);
    expect([alone.recordings, plays(alone)]).toEqual([[gulls, fog], ['fog-horn']]);
    // The same file under another id there, and another file under this id.
    const known = paste([{ ...fog, id: 'horn' }]);
    expect([known.recordings, plays(known)]).toEqual([[{ ...fog, id: 'horn' }], ['horn']]);
    const clash = paste([{ ...gulls, id: 'fog-horn' }]);
    expect([clash.recordings?.[1], plays(clash)]).toEqual([{ ...fog, id: 'fog-horn2' }, ['fog-horn2']]);
    expect(checkPatch(clash, smallCatalogue)).toEqual([]);
    expect(copyBlocks(one, smallCatalogue, { ids: ['osc1'] })).not.toHaveProperty('recordings');
  });
});
