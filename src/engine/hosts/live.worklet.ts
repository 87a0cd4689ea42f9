/**
 * The live host on the audio thread: renders, swaps plans between two quanta, hands taps to the page.
 * A fault stops the sound with a message, never the page.
 */
import { CHUNK } from '../plan/image.ts';
import type { FromLive, LivePlan, ToLive } from '../protocol.ts';
import { Engine } from './engine.ts';

/** Frames in one batch of taps: some 47 batches a second at 48 kHz. */
const BATCH = 1024;
/** Half a second of batches: a page that is busy for so long loses none. */
const BUFFERS = 24;
/** Samples in one tap buffer: 24 frame taps and 2,000 peak taps. */
const BUFFER_SAMPLES = 24 * BATCH + 2 * 2000;
/** Memory for one plan; there are two. */
const REGION_BYTES = 48 * 1048576;
/**
 * Memory for sound files: eight of 30 s at 48 kHz. Set aside at the start, whether or not the patch has any, as memory never grows
 * while sound runs; pages that nothing was written to cost no more than their addresses.
 */
const SOUNDS_BYTES = 96 * 1048576;
/** What comes in beyond this (full scale 1) is no sound. */
const MOST_INPUT = 16;
/** Fade at start, stop and when another patch is opened. */
const RAMP_SECONDS = 0.02;

/** A signal of the live input: its frames, and up to which frame they are all the same. */
interface InputSignal {
  readonly samples: Float32Array;
  readonly held: Int32Array;
}

function inputSignal(engine: Engine, side: number): InputSignal {
  const address = engine.exports.liveInput(side);
  return { samples: engine.signal(address), held: new Int32Array(engine.exports.memory.buffer, address - 16, 1) };
}

function heard(sample: number): number {
  return sample >= -MOST_INPUT && sample <= MOST_INPUT ? sample : 0;
}

type PlanMessage = Extract<ToLive, { type: 'plan' }>;

class LiveProcessor extends AudioWorkletProcessor implements AudioWorkletProcessorImpl {
  readonly #engine: Engine;
  readonly #free: Float32Array<ArrayBuffer>[] = [];
  #batch: Float32Array<ArrayBuffer> | undefined;
  #batchFrames = 0;
  #batchAt = 0;
  #at = 0;
  #lost = 0;
  #plan: LivePlan | undefined;
  #planNumber = 0;
  #frameTaps = 0;
  #waiting: PlanMessage | undefined;
  /** Output frames until the waiting plan takes over. */
  #waitFrames = 0;
  #gain = 0;
  #stopped = false;
  readonly #inputs: readonly InputSignal[];
  /** The live input was heard in the last quantum. */
  #hears = false;
  #busy = 0;
  #busyFrames = 0;

  constructor(options: { processorOptions: { module: WebAssembly.Module } }) {
    super();
    this.#engine = new Engine(options.processorOptions.module, sampleRate, 1);
    const soundsStart = this.#engine.arenaStart + 2 * REGION_BYTES;
    this.#engine.reserve(soundsStart + SOUNDS_BYTES);
    this.#inputs = [0, 1].map((side) => inputSignal(this.#engine, side));
    for (const input of this.#inputs) input.held[0] = CHUNK;
    this.#engine.exports.setGain(0, 0);
    for (let i = 0; i < BUFFERS; i++) this.#free.push(new Float32Array(BUFFER_SAMPLES));
    this.port.onmessage = (event: MessageEvent<ToLive>) => this.#receive(event.data);
    this.#post({
      type: 'ready',
      arenaStart: this.#engine.arenaStart,
      regionBytes: REGION_BYTES,
      soundsStart,
      soundsBytes: SOUNDS_BYTES,
      rate: sampleRate,
      delayFrames: this.#engine.exports.delayFrames(),
    });
  }

  #post(message: FromLive, transfer: Transferable[] = []): void {
    this.port.postMessage(message, transfer);
  }

  #receive(message: ToLive): void {
    if (message.type === 'plan') this.#begin(message);
    else if (message.type === 'events') for (const event of message.events) this.#engine.send(event);
    else if (message.type === 'sound') {
      this.#engine.write(message.address, message.samples);
      this.#post({ type: 'placed' });
    } else if (message.type === 'gain') {
      this.#gain = message.gain;
      this.#engine.exports.setGain(message.gain, message.frames);
    } else this.#free.push(new Float32Array(message.buffer));
  }

  /** Starts the way to a new plan. The page sends the next one only after this one is applied. */
  #begin(message: PlanMessage): void {
    const ramp = Math.round(RAMP_SECONDS * sampleRate);
    this.#waiting = message;
    if (message.through) {
      this.#load(message.through, message.number);
      this.#waitFrames = message.fadeFrames;
    } else if (message.fresh && this.#plan) {
      this.#engine.exports.setGain(0, ramp);
      this.#waitFrames = ramp + this.#engine.exports.delayFrames();
    } else this.#waitFrames = 0;
  }

  #load(plan: LivePlan, number: number): void {
    this.#dropBatch();
    this.#engine.load(plan);
    this.#plan = plan;
    this.#planNumber = number;
    this.#frameTaps = plan.taps.filter((tap) => !tap.peaksOnly).length;
  }

  #arrive(message: PlanMessage): void {
    this.#waiting = undefined;
    this.#load(message.plan, message.number);
    if (message.fresh) this.#engine.exports.setGain(this.#gain, Math.round(RAMP_SECONDS * sampleRate));
    this.#post({ type: 'applied', number: message.number });
  }

  #dropBatch(): void {
    if (this.#batch) this.#free.push(this.#batch);
    this.#batch = undefined;
    this.#batchFrames = 0;
  }

  /** Copies the frame taps of this quantum into the batch; peaks are read once per batch. */
  #record(frames: number): void {
    const plan = this.#plan;
    if (!plan || plan.taps.length === 0) return;
    if (!this.#batch) {
      this.#batch = this.#free.pop();
      this.#batchFrames = 0;
      this.#batchAt = this.#at;
      this.#engine.exports.clearPeaks();
      if (!this.#batch) {
        this.#lost++;
        return;
      }
      this.#recordFrames(plan, this.#batch, frames);
      return;
    }
    this.#recordFrames(plan, this.#batch, frames);
    if (this.#batchFrames >= BATCH) this.#send(plan, this.#batch);
  }

  #recordFrames(plan: LivePlan, batch: Float32Array<ArrayBuffer>, frames: number): void {
    let slot = 0;
    for (let i = 0; i < plan.taps.length; i++) {
      if (plan.taps[i]?.peaksOnly) continue;
      const tap = this.#engine.tap(i);
      const at = slot * BATCH + this.#batchFrames;
      for (let n = 0; n < frames; n++) batch[at + n] = tap[n] as number;
      slot++;
    }
    this.#batchFrames += frames;
  }

  #send(plan: LivePlan, batch: Float32Array<ArrayBuffer>): void {
    let at = this.#frameTaps * BATCH;
    for (let i = 0; i < plan.taps.length; i++) {
      if (!plan.taps[i]?.peaksOnly) continue;
      batch[at++] = this.#engine.tapLowest(i);
      batch[at++] = this.#engine.tapHighest(i);
    }
    this.#batch = undefined;
    this.#post({ type: 'taps', batch: { plan: this.#planNumber, at: this.#batchAt, frames: BATCH, samples: batch } }, [batch.buffer]);
  }

  #measure(milliseconds: number, frames: number): void {
    this.#busy += milliseconds;
    this.#busyFrames += frames;
    if (this.#busyFrames < sampleRate) return;
    this.#post({ type: 'load', share: (this.#busy / 1000 / this.#busyFrames) * sampleRate, lost: this.#lost });
    this.#busy = 0;
    this.#busyFrames = 0;
  }

  /** Brings the live input into the engine: one channel on both sides, none as silence. */
  #hear(input: Float32Array[] | undefined, at: number, frames: number): void {
    const first = input?.[0];
    if (!first && !this.#hears) return;
    this.#hears = first !== undefined;
    for (let side = 0; side < this.#inputs.length; side++) {
      const { samples, held } = this.#inputs[side] as InputSignal;
      const from = input?.[side] ?? first;
      held[0] = from ? 0 : CHUNK;
      if (from) for (let i = 0; i < frames; i++) samples[i] = heard(from[at + i] as number);
      else samples.fill(0);
    }
  }

  process(inputs: Float32Array[][], outputs: Float32Array[][]): boolean {
    const left = outputs[0]?.[0];
    const right = outputs[0]?.[1] ?? left;
    if (!left || !right || this.#stopped) return true;
    try {
      const begin = Date.now();
      for (let at = 0; at < left.length; at += CHUNK) {
        const frames = Math.min(CHUNK, left.length - at);
        this.#hear(inputs[0], at, frames);
        this.#quantum(left, right, at, frames);
      }
      this.#measure(Date.now() - begin, left.length);
    } catch (error) {
      this.#stopped = true;
      left.fill(0);
      right.fill(0);
      this.#post({ type: 'fault', block: undefined, reason: String(error) });
    }
    return true;
  }

  #quantum(left: Float32Array, right: Float32Array, at: number, frames: number): void {
    if (this.#waiting && this.#waitFrames <= 0) this.#arrive(this.#waiting);
    this.#engine.render(frames);
    this.#waitFrames -= frames;
    for (let i = 0; i < frames; i++) {
      left[at + i] = this.#engine.left[i] as number;
      right[at + i] = this.#engine.right[i] as number;
    }
    this.#record(frames);
    this.#at += frames;
    const fault = this.#engine.exports.takeFault();
    if (fault >= 0)
      this.#post({
        type: 'fault',
        block: this.#plan?.ids[fault],
        reason: 'Its signal left the range of numbers; it was muted and started afresh.',
      });
  }
}

registerProcessor('signal-sketchbook-live', LiveProcessor);
