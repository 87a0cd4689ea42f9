/**
 * Renders the reference voice with node-web-audio-api, once for each line on standard input,
 * and prints the seconds that the rendering took. `echo | node tests/bench/webaudio.mjs SECONDS`
 */
import { createInterface } from 'node:readline';
import { OfflineAudioContext } from 'node-web-audio-api';
import { buildGraph } from './voice-webaudio.js';

const seconds = Number(process.argv[2]);

for await (const _line of createInterface({ input: process.stdin })) {
  const context = new OfflineAudioContext(1, seconds * 48000, 48000);
  buildGraph(context, seconds);
  const from = performance.now();
  const buffer = await context.startRendering();
  const took = (performance.now() - from) / 1000;
  if (!buffer.getChannelData(0).some((sample) => sample !== 0)) throw new Error('The voice is silent.');
  console.log(took);
}
process.exit(0);
