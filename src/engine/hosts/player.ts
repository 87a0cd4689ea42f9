/**
 * Plays takes: one voice at a time, each new one cross-faded with the one before at the same moment. Every fade is a curve on a
 * gain of its own, one for coming and one for going, so that no two of them ever meet on one parameter. [page]
 */
import { openContext } from './audioContext.ts';
import {
  endOf,
  entersLoop,
  fadeCurve,
  fadedEnd,
  JUMP_SECONDS,
  type Looped,
  looped,
  placeAt,
  type Region,
  type Run,
  START_SECONDS,
} from './playRun.ts';

/** Sound to play, full scale 1. */
export interface PlayedSound {
  readonly left: Float32Array;
  readonly right: Float32Array;
  readonly rate: number;
  /** At most 1: one of two takes is turned down to be as loud as the other. */
  readonly gain: number;
}

export interface PlayerListener {
  /** The take has come to its end. */
  ended(): void;
}

/** Between the call and the sound: nothing is scheduled in the past. */
const LEAD_SECONDS = 0.01;

interface Voice {
  readonly source: AudioBufferSourceNode;
  readonly going: GainNode;
  readonly run: Run;
}

export class Player {
  readonly #context: AudioContext;
  readonly #listener: PlayerListener;
  readonly #volume: GainNode;
  readonly #meter: AnalyserNode;
  readonly #metered = new Float32Array(2048);
  #voice: Voice | undefined;
  /** Whole takes as the device wants them, for as long as somebody holds the take. */
  readonly #whole = new WeakMap<Float32Array, AudioBuffer>();

  /** With a context that does not run yet, what is asked for can be rendered faster than it sounds. */
  constructor(context: AudioContext, listener: PlayerListener, volume: number) {
    this.#context = context;
    this.#listener = listener;
    this.#volume = new GainNode(context, { gain: volume });
    this.#meter = new AnalyserNode(context, { fftSize: this.#metered.length });
    this.#volume.connect(context.destination);
    this.#volume.connect(this.#meter);
  }

  /** Opens the audio device. Call from a click or key press. */
  static async open(listener: PlayerListener, volume: number): Promise<Player> {
    return new Player(openContext(), listener, volume);
  }

  get playing(): boolean {
    return this.#voice !== undefined;
  }

  /** Second of the take that is heard just now; undefined while nothing plays. */
  position(): number | undefined {
    const late = this.#context.outputLatency || this.#context.baseLatency || 0;
    return this.#voice && placeAt(this.#voice.run, this.#context.currentTime - late);
  }

  /** Highest sample of the last 43 ms (at 48 kHz), full scale 1. */
  peak(): number {
    this.#meter.getFloatTimeDomainData(this.#metered);
    let most = 0;
    for (const x of this.#metered) most = Math.max(most, Math.abs(x));
    return most;
  }

  /** Starts at a second of the take, behind a short fade. */
  async play(sound: PlayedSound, from: number, loop: Region | undefined): Promise<void> {
    await this.#context.resume();
    this.change(sound, from, loop, START_SECONDS);
  }

  /**
   * Goes over to another sound, place or loop within `fade` seconds; `from` undefined stays at the same place. Where nothing plays
   * it starts.
   */
  change(sound: PlayedSound, from: number | undefined, loop: Region | undefined, fade = JUMP_SECONDS): void {
    const { rate } = sound;
    const seconds = sound.left.length / rate;
    // On whole frames, so that nothing is interpolated.
    const device = this.#context.sampleRate;
    const at = Math.ceil((this.#context.currentTime + LEAD_SECONDS) * device) / device;
    const wanted = from ?? (this.#voice ? placeAt(this.#voice.run, at) : 0);
    const start = Math.round(Math.min(Math.max(wanted, 0), seconds) * rate) / rate;
    this.#fadeOut(at, fade);
    this.#voice = this.#begin(sound, { at, from: start, seconds, loop }, fade);
  }

  /** Fades out, then lets the device rest. */
  async stop(): Promise<void> {
    if (!this.#voice) return;
    this.#fadeOut(this.#context.currentTime + LEAD_SECONDS, START_SECONDS);
    this.#voice = undefined;
    await this.#rest();
  }

  /** 0..1, as of the live sound; moves over some 20 ms. */
  setVolume(volume: number): void {
    const { gain } = this.#volume;
    const now = this.#context.currentTime;
    gain.setValueAtTime(gain.value, now);
    gain.setTargetAtTime(volume, now, START_SECONDS / 3);
  }

  async close(): Promise<void> {
    await this.stop();
    await this.#context.close();
  }

  async #rest(): Promise<void> {
    await new Promise((resolve) => setTimeout(resolve, (START_SECONDS + LEAD_SECONDS) * 1000 + 60));
    if (!this.#voice) await this.#context.suspend();
  }

  #begin(sound: PlayedSound, run: Run, fade: number): Voice {
    const context = this.#context;
    const { buffer, first, loop } = this.#load(sound, run);
    const source = new AudioBufferSourceNode(context, {
      buffer,
      ...(loop && { loop: true, loopStart: loop[0], loopEnd: loop[1] }),
    });
    const coming = new GainNode(context, { gain: 0 });
    const going = new GainNode(context, { gain: 1 });
    source.connect(coming).connect(going).connect(this.#volume);
    coming.gain.setValueCurveAtTime(fadeCurve(sound.gain), run.at, fade);
    source.start(run.at, run.from - first);
    const voice: Voice = { source, going, run };
    source.onended = () => {
      going.disconnect();
      if (this.#voice !== voice) return;
      this.#voice = undefined;
      this.#listener.ended();
      void this.#rest();
    };
    return voice;
  }

  #fadeOut(at: number, fade: number): void {
    const voice = this.#voice;
    if (!voice) return;
    const end = endOf(voice.run);
    // Its own end fades by itself.
    if (end !== undefined && end <= at) return;
    voice.going.gain.setValueCurveAtTime(fadeCurve(1, true), at, fade);
    voice.source.stop(at + fade);
  }

  #load({ left, right, rate }: PlayedSound, { from, loop }: Run): { buffer: AudioBuffer; first: number; loop?: Region } {
    if (entersLoop(from, loop)) {
      const sides = [left, right].map((side) => looped(side, rate, from, loop)) as [Looped, Looped];
      const buffer = this.#bufferOf(sides[0].samples.length, rate);
      for (const [i, { samples }] of sides.entries()) buffer.copyToChannel(samples, i);
      return { buffer, first: sides[0].first, loop: sides[0].loop };
    }
    const known = this.#whole.get(left);
    if (known) return { buffer: known, first: 0 };
    const buffer = this.#bufferOf(left.length, rate);
    for (const [i, side] of [left, right].entries()) {
      const end = fadedEnd(side, rate);
      buffer.getChannelData(i).set(side);
      buffer.copyToChannel(end, i, side.length - end.length);
    }
    this.#whole.set(left, buffer);
    return { buffer, first: 0 };
  }

  #bufferOf(frames: number, rate: number): AudioBuffer {
    return new AudioBuffer({ numberOfChannels: 2, length: Math.max(1, frames), sampleRate: rate });
  }
}
