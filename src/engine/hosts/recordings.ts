/** Sound files in the engine's memory: left channel, then right one, float32. */
import type { LoadedRecording } from '../plan/plan.ts';
import type { Engine } from './engine.ts';

/** A decoded sound file; one channel plays on both sides. */
export interface RecordedSound {
  readonly rate: number;
  readonly channels: readonly Float32Array[];
}

/** Bytes that a sound takes in the engine's memory. */
export function recordingBytes(sound: RecordedSound): number {
  return (sound.channels[0]?.length ?? 0) * 8;
}

/** Copies sounds one after the other from `base` on, a multiple of 64, as is `end`, where a plan may lie; memory grows to hold them. */
export function loadRecordings(
  engine: Engine,
  base: number,
  sounds: ReadonlyMap<string, RecordedSound>,
): { readonly loaded: ReadonlyMap<string, LoadedRecording>; readonly end: number } {
  const loaded = new Map<string, LoadedRecording>();
  let end = base;
  for (const [id, sound] of sounds) {
    const frames = sound.channels[0]?.length ?? 0;
    const at = end;
    end = Math.ceil((at + recordingBytes(sound)) / 64) * 64;
    engine.reserve(end);
    for (const side of [0, 1]) engine.write(at + side * frames * 4, (sound.channels[side] ?? sound.channels[0]) as Float32Array);
    loaded.set(id, { address: at, frames, rate: sound.rate });
  }
  return { loaded, end };
}
