// @vitest-environment node
/** What is kept of 60 s of 300 blocks, in this engine and in the page beside it: counted, not estimated. */
import { readFileSync } from 'node:fs';
import { beforeAll, describe, expect, it } from 'vitest';
import { EVERY_FRAME_BYTES } from '../../src/app/listen/takeWindows.ts';
import { specs } from '../../src/blocks/specs.gen.ts';
import { manyVoices } from '../../src/cli/bench/patches.ts';
import type { KeptTake } from '../../src/engine/hosts/keptTake.ts';
import { KeptTakes, SNAPSHOT_BYTES } from '../../src/engine/hosts/keptTakes.ts';
import { type Take, TakeRenderer } from '../../src/engine/hosts/take.ts';
import { type Cable, type Patch, type Place, placeName } from '../../src/patch/document.ts';
import { engineModule } from '../support/engine.ts';

const SECONDS = 60;
const LIMIT = 200e6;

/** The benchmark's voice as often as it takes, and four echoes with long memories behind it. */
function largePatch(): Patch {
  const voice = JSON.parse(readFileSync(new URL('../bench/voice.patch.json', import.meta.url), 'utf8')) as Patch;
  const { blocks, cables, ...rest } = manyVoices(voice, 310);
  const delays = specs.filter(({ memorySeconds }) => (memorySeconds ?? 0) >= 2);
  const source = cables[0]?.from as Place;
  const echoes = [0, 1, 2, 3].map((i) => ({ id: `echo${i}`, spec: delays[i % delays.length] as (typeof delays)[number] }));
  return {
    ...rest,
    blocks: [...blocks, ...echoes.map(({ id, spec }) => ({ id, type: spec.type }))],
    cables: [
      ...cables,
      ...echoes.map(({ id, spec }) => ({ from: source, to: [id, spec.inputs.find(({ kind }) => kind === 'audio')?.id ?? ''] as const })),
    ],
  };
}

const bytesOf = (arrays: readonly { readonly byteLength: number }[]): number => arrays.reduce((sum, { byteLength }) => sum + byteLength, 0);

describe('60 s of 300 blocks', () => {
  const patch = largePatch();
  const sounds = ({ from: [id, port] }: Cable): boolean => {
    const type = patch.blocks.find((block) => block.id === id)?.type;
    return specs.find((spec) => spec.type === type)?.outputs.find((output) => output.id === port)?.kind === 'audio';
  };
  const probes = [...new Map(patch.cables.filter(sounds).map(({ from }) => [placeName(from), from])).values()].slice(0, 4);
  const full = new Set(probes.map(placeName));
  const traced = [...new Map(patch.cables.map(({ from }) => [placeName(from), from])).values()].filter((at) => !full.has(placeName(at)));
  let take: Take;
  let kept: KeptTake;

  beforeAll(() => {
    const renderer = new TakeRenderer(engineModule(), specs, patch, {
      seconds: SECONDS,
      taps: [...probes.map((at) => ({ at })), ...traced.map((at) => ({ at, peaksOnly: true }))],
      window: { from: 0, frames: Math.floor(EVERY_FRAME_BYTES / 4 / probes.length) },
      snapshotBytes: SNAPSHOT_BYTES,
    });
    renderer.advance(Number.POSITIVE_INFINITY);
    take = renderer.result();
    kept = renderer.kept as KeptTake;
  }, 200_000);

  it('can be looked at anywhere; how long that takes is printed', () => {
    const time = (from: number, frames: number): string => {
      const begin = performance.now();
      kept.window(from * 48000, frames, probes).advance(Number.POSITIVE_INFINITY);
      return `${(performance.now() - begin).toFixed(0)} ms`;
    };
    const deep = [40.3, 12.9, 55.001, 31.49].map((from) => time(from, 20));
    process.stdout.write(`20 samples deep inside: ${deep.join(', ')}; one second beside the last: ${time(32, 48000)}\n`);
    expect(kept.snapshots).toBeGreaterThan(8);
  });

  it('need less than 200 MB, also while the next take renders', () => {
    expect(patch.blocks.length).toBeGreaterThanOrEqual(300);
    expect(take.frames).toBe(SECONDS * 48000);
    // The page: sound and peaks of the take, of the one before and of the one that comes; what is looked at of two takes.
    const sound = bytesOf([take.left, take.right]);
    const peaks = bytesOf(take.peaks);
    const window = bytesOf(take.taps.slice(0, probes.length));
    expect(window).toBeGreaterThan(0.9 * EVERY_FRAME_BYTES);
    // The worker: the newest in full, the older ones with what they are left.
    const newest = kept.bytes;
    const takes = new KeptTakes();
    takes.add(1, kept, undefined);
    expect(takes.bytes).toBe(newest);
    takes.makeRoom(undefined);
    const older = takes.bytes;
    expect(takes.find(1)).toBe(kept);
    const resting = 2 * (sound + peaks + window) + newest + older;
    const rendering = 3 * (sound + peaks) + 2 * window + newest + 2 * older;
    // What plays has been copied for the loudspeakers.
    const playing = rendering + sound;
    const mb = (bytes: number): string => `${(bytes / 1e6).toFixed(1)} MB`;
    process.stdout.write(
      `300 blocks, 60 s: sound ${mb(sound)}, peaks ${mb(peaks)}, window ${mb(window)}, engine with snapshots ${mb(newest)} (older ${mb(older)}); ` +
        `in all ${mb(resting)}, while the next take renders ${mb(rendering)}, and this one plays ${mb(playing)}\n`,
    );
    expect(resting).toBeLessThan(LIMIT);
    expect(playing).toBeLessThan(LIMIT);
  });

  it('can be looked at anywhere, also with what an older take is left', () => {
    const early = kept.window(1000, 20, probes);
    early.advance(Number.POSITIVE_INFINITY);
    expect(early.taps.map(({ samples }) => samples)).toEqual(take.taps.slice(0, 4).map((samples) => samples.slice(1000, 1020)));
    // Deep inside the take its peaks are the witness.
    const [first, count] = [3870, 40];
    const late = kept.window(first * take.peakFrames, count * take.peakFrames, probes);
    late.advance(Number.POSITIVE_INFINITY);
    for (const [i, { samples }] of late.taps.entries()) {
      for (let k = 0; k < count; k++) {
        const part = samples.subarray(k * take.peakFrames, (k + 1) * take.peakFrames);
        const pair = take.peaks[i]?.slice(2 * (first + k), 2 * (first + k) + 2);
        expect([Math.min(...part), Math.max(...part)]).toEqual([...(pair ?? [])]);
      }
    }
    expect(late.taps.some(({ samples }) => samples.some((v) => Math.abs(v) > 0.5))).toBe(true);
  });
});
