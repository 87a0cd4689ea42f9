/** Stands in for the audio thread's globals, so that the live host itself runs in Node. */
import type { FromLive, ToLive } from '../../src/engine/protocol.ts';

export interface LiveProcessor {
  readonly port: { onmessage?: (event: { data: ToLive }) => void };
  process(inputs: Float32Array[][], outputs: Float32Array[][]): boolean;
}

export interface LiveRig {
  readonly processor: LiveProcessor;
  /** Messages that the processor posted, in order. */
  readonly posted: FromLive[];
  send(message: ToLive): void;
  /** Left and right of the next `quanta` render quanta. `input` gives the channels of the live input at a frame of this run; none if left out. */
  run(quanta: number, input?: (frame: number) => readonly number[]): { left: number[]; right: number[] };
}

type Made = new (options: { processorOptions: { module: WebAssembly.Module } }) => LiveProcessor;

let registered: Made | undefined;

export async function createLiveRig(module: WebAssembly.Module, rate = 48000): Promise<LiveRig> {
  const posted: FromLive[] = [];
  class Processor {
    readonly port = { postMessage: (message: FromLive) => posted.push(message) };
  }
  Object.assign(globalThis, {
    AudioWorkletProcessor: Processor,
    sampleRate: rate,
    registerProcessor: (_name: string, made: Made) => {
      registered = made;
    },
  });
  // The processor extends whatever class is global when its module is read, so one rig is made per test file.
  // Named by a variable: the compiler keeps worklet sources, whose globals differ, in a project of their own.
  const source = '../../src/engine/hosts/live.worklet.ts';
  await import(source);
  if (!registered) throw new Error('The worklet registered nothing.');
  const processor = new registered({ processorOptions: { module } });
  const own = (processor.port as unknown as { postMessage: unknown }).postMessage;
  if (typeof own !== 'function') throw new Error('The processor has no port.');
  Object.assign(processor.port, { postMessage: (message: FromLive) => posted.push(message) });
  return {
    processor,
    posted,
    send: (data) => processor.port.onmessage?.({ data }),
    run(quanta, input) {
      const sound = { left: [] as number[], right: [] as number[] };
      for (let i = 0; i < quanta; i++) {
        const outputs = [[new Float32Array(128), new Float32Array(128)]] as const;
        processor.process([input ? quantum(input, i * 128) : []], outputs as unknown as Float32Array[][]);
        sound.left.push(...outputs[0][0]);
        sound.right.push(...outputs[0][1]);
      }
      return sound;
    },
  };
}

function quantum(input: (frame: number) => readonly number[], from: number): Float32Array[] {
  const frames = Array.from({ length: 128 }, (_, n) => input(from + n));
  return (frames[0] ?? []).map((_, side) => Float32Array.from(frames, (channels) => channels[side] as number));
}
