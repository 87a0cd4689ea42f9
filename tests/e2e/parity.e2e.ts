import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, test } from '@playwright/test';
import { specs } from '../../src/blocks/specs.gen.ts';
import { Engine } from '../../src/engine/hosts/engine.ts';
import { renderTake } from '../../src/engine/hosts/take.ts';
import { compilePlan } from '../../src/engine/plan/compile.ts';
import { parityPatch } from '../support/paritySamples.ts';

const assets = join(dirname(fileURLToPath(import.meta.url)), '../../dist/assets');
const asset = (start: string, end: string): string => {
  const name = readdirSync(assets).find((file) => file.startsWith(start) && file.endsWith(end));
  if (!name) throw new Error(`The built page has no ${start}*${end}.`);
  return name;
};
const sha = (samples: Float32Array): string =>
  createHash('sha256')
    .update(new Uint8Array(samples.buffer, samples.byteOffset, samples.byteLength))
    .digest('hex');

test('the built audio worklet in Chromium gives the same samples as Node, bit for bit', async ({ page }) => {
  const module = new WebAssembly.Module(readFileSync(join(assets, asset('engine-', '.wasm'))));
  const engine = new Engine(module, 48000, 1);
  const plan = compilePlan(parityPatch, engine.catalogue(specs), { rate: 48000, quality: 1, base: engine.arenaStart });
  const delay = engine.exports.delayFrames();
  const take = renderTake(module, specs, parityPatch, { seconds: 1 });

  await page.goto('./');
  const rendered = await page.evaluate(
    async ({ worklet, wasm, image, base, totalBytes, frames }) => {
      const context = new OfflineAudioContext(2, frames, 48000);
      await context.audioWorklet.addModule(`assets/${worklet}`);
      const compiled = await WebAssembly.compile(await (await fetch(`assets/${wasm}`)).arrayBuffer());
      const node = new AudioWorkletNode(context, 'signal-sketchbook-live', {
        numberOfInputs: 0,
        outputChannelCount: [2],
        processorOptions: { module: compiled },
      });
      await new Promise<void>((resolve, reject) => {
        node.onprocessorerror = () => reject(new Error('the processor failed'));
        node.port.onmessage = (event) => event.data.type === 'ready' && resolve();
      });
      node.port.postMessage({ type: 'gain', gain: 1, frames: 0 });
      node.port.postMessage({
        type: 'plan',
        number: 1,
        plan: { image: Uint8Array.from(image), base, totalBytes, taps: [], ids: [] },
        fadeFrames: 0,
        fresh: false,
      });
      // The messages must have arrived before the first quantum.
      await new Promise((resolve) => setTimeout(resolve, 300));
      node.connect(context.destination);
      const buffer = await context.startRendering();
      return [Array.from(buffer.getChannelData(0)), Array.from(buffer.getChannelData(1))];
    },
    {
      worklet: asset('live.worklet-', '.js'),
      wasm: asset('engine-', '.wasm'),
      image: [...plan.image],
      base: plan.base,
      totalBytes: plan.totalBytes,
      frames: 48000,
    },
  );
  const [left, right] = rendered.map((samples) => Float32Array.from(samples)) as [Float32Array, Float32Array];
  const frames = 48000 - delay;
  expect(take.left.some((x) => Math.abs(x) > 0.05)).toBe(true);
  expect(sha(left.slice(delay))).toBe(sha(take.left.slice(0, frames)));
  expect(sha(right.slice(delay))).toBe(sha(take.right.slice(0, frames)));
});
