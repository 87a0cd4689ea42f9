/** An audio device that is rendered instead of heard, with a clock that the test sets: node-web-audio-api, an implementation of the standard that is not the browser's. */
import { AnalyserNode, AudioBuffer, AudioBufferSourceNode, GainNode, OfflineAudioContext } from 'node-web-audio-api';
import { vi } from 'vitest';

export interface OfflineDevice {
  readonly context: AudioContext;
  /** What is asked for from now on happens at this second. */
  at(second: number): void;
  /** The left channel, full scale 1. */
  render(): Promise<Float32Array>;
}

/** Also names the node-web-audio-api's classes as the page does; `restoreMocks` and `unstubAllGlobals` take them away. */
export function offlineDevice(seconds: number, rate = 48000): OfflineDevice {
  for (const [name, node] of Object.entries({ AnalyserNode, AudioBuffer, AudioBufferSourceNode, GainNode })) vi.stubGlobal(name, node);
  const offline = new OfflineAudioContext(2, seconds * rate, rate);
  let now = 0;
  Object.defineProperty(offline, 'currentTime', { get: () => now });
  Object.assign(offline, { resume: async () => undefined, suspend: async () => undefined });
  return {
    context: offline as unknown as AudioContext,
    at(second) {
      now = second;
    },
    async render() {
      const buffer = await offline.startRendering();
      return buffer.getChannelData(0);
    },
  };
}
