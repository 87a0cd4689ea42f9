/** Sound files of a patch for the command line: FILE.recordings/ID.wav beside the patch file FILE. */
import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { type DecodedSound, readSoundFile } from '../notebook/decodeWav.ts';
import type { Patch, Recording } from '../patch/document.ts';
import { playedRecordings } from '../patch/recordings.ts';
import { isRefusal } from '../patch/refusal.ts';
import { catalogue, nameOf } from './document.ts';
import type { Terminal } from './verb.ts';

/** The sounds that the patch plays, by the id of their recording; undefined where one is not to be had, with a line for each written. */
export function readRecordings(file: string, patch: Patch, terminal: Terminal): ReadonlyMap<string, DecodedSound> | undefined {
  const played = playedRecordings(patch, catalogue);
  const sounds = new Map<string, DecodedSound>();
  let complete = true;
  for (const [i, recording] of (patch.recordings ?? []).entries()) {
    if (!played.has(recording.id)) continue;
    const found = readRecording(file, recording);
    if (typeof found === 'string') {
      terminal.err(`${nameOf(file)}: recordings[${i}]: ${found}`);
      complete = false;
    } else sounds.set(recording.id, found);
  }
  return complete ? sounds : undefined;
}

/** The sound, or a sentence that says why not. */
function readRecording(file: string, { id, name, sha256 }: Recording): DecodedSound | string {
  if (file === '-') return `The sound file "${name}" lies beside the patch file, which standard input has no place for; name the file.`;
  const path = join(`${file}.recordings`, `${id}.wav`);
  let bytes: Uint8Array;
  try {
    bytes = readFileSync(path);
  } catch (fault) {
    const reason = (fault as NodeJS.ErrnoException).code ?? 'unknown reason';
    return `The sound file "${name}" is missing: ${path} cannot be read (${reason}).`;
  }
  const sound = readSoundFile(bytes);
  if (isRefusal(sound)) return `${path} cannot be played. ${sound.say}`;
  const found = createHash('sha256').update(bytes).digest('hex');
  if (found === sha256) return sound;
  return `${path} is another sound file than "${name}", which this patch plays: its sha256 is ${found}, not ${sha256}.`;
}
