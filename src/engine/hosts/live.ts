/**
 * The page's half of the live host: keeps the sound in step with the patch. Settings go as events and glide;
 * other edits go as a new plan that takes over without a click. [page]
 */
import type { BlockSpec } from '../../patch/blockSpec.ts';
import { type Patch, samePlace } from '../../patch/document.ts';
import { sameValue, settingValue } from '../../patch/settings.ts';
import { compilePlan, GLIDE_SECONDS } from '../plan/compile.ts';
import { type EngineEvent, settingEvents } from '../plan/events.ts';
import { type EngineCatalogue, type Plan, PlanRefused, type TapRequest } from '../plan/plan.ts';
import type { FromLive, LivePlan, TapBatch, ToLive } from '../protocol.ts';
import { openContext } from './audioContext.ts';
import { Engine } from './engine.ts';
import workletUrl from './live.worklet.ts?worker&url';
import { LiveSounds } from './liveSounds.ts';
import { engineModule } from './load.ts';
import type { RecordedSound } from './recordings.ts';
import { SoundMemory } from './soundMemory.ts';

export interface LiveListener {
  /** Volts of a recorded output: every frame, or (peaks) least and greatest of the batch. `at` counts output frames. */
  tap(request: TapRequest, at: number, samples: Float32Array, batchFrames: number): void;
  /** Share of the time that the engine needs, 0..1. */
  load(share: number): void;
  /** A block went wrong, or (block undefined) the sound stopped. */
  fault(block: string | undefined, say: string): void;
  /** The patch cannot be played as it stands. */
  refused(say: string): void;
}

interface HeldMessage {
  readonly code: number;
  readonly a: number;
  readonly b: number;
  readonly to?: string;
}

/** Fade at start and stop. */
const RAMP_SECONDS = 0.02;

/** Do two patches differ in more than settings and texts? */
export function sameStructure(a: Patch, b: Patch): boolean {
  if (a.seed !== b.seed || a.blocks.length !== b.blocks.length || a.cables.length !== b.cables.length) return false;
  const types = new Map(a.blocks.map((block) => [block.id, block.type]));
  if (!b.blocks.every((block) => types.get(block.id) === block.type)) return false;
  const sources = new Map(a.cables.map((cable) => [cable.to.join('.'), cable.from]));
  return b.cables.every((cable) => {
    const from = sources.get(cable.to.join('.'));
    return from !== undefined && samePlace(from, cable.from);
  });
}

function sameTaps(a: readonly TapRequest[], b: readonly TapRequest[]): boolean {
  return (
    a.length === b.length &&
    a.every((tap, i) => samePlace(tap.at, b[i]?.at ?? ['', '']) && Boolean(tap.peaksOnly) === Boolean(b[i]?.peaksOnly))
  );
}

export class LiveSound {
  readonly context: AudioContext;
  readonly #node: AudioWorkletNode;
  readonly #meter: AnalyserNode;
  readonly #metered = new Float32Array(2048);
  #memory = new SoundMemory(0, 0, () => undefined);
  #sounds = new LiveSounds(this.#memory, 0, []);
  /** What the running plan and the coming one read (`LiveSounds.reading`). */
  #reading = '';
  #input: MediaStreamAudioSourceNode | undefined;
  readonly #listener: LiveListener;
  readonly #catalogue: EngineCatalogue;
  #regions: readonly [number, number] = [0, 0];
  #regionBytes = 0;
  #delayFrames = 0;
  #plan: Plan | undefined;
  #region = 0;
  #number = 0;
  /** The plan that the audio thread changes over to. */
  #coming: { plan: Plan; taps: readonly TapRequest[]; number: number; region: number } | undefined;
  #wanted: { patch: Patch; taps: readonly TapRequest[]; fresh: boolean } | undefined;
  #tapsByNumber = new Map<number, readonly TapRequest[]>();
  #taps: readonly TapRequest[] = [];
  #heldMessages: HeldMessage[] = [];
  #volume = 1;
  #playing = false;

  private constructor(context: AudioContext, node: AudioWorkletNode, catalogue: EngineCatalogue, listener: LiveListener) {
    this.context = context;
    this.#node = node;
    this.#catalogue = catalogue;
    this.#listener = listener;
    this.#meter = new AnalyserNode(context, { fftSize: this.#metered.length });
  }

  /** Opens the audio device. Call from a click or key press. Throws an Error with a sentence where the browser has no audio. */
  static async open(specs: readonly BlockSpec[], listener: LiveListener): Promise<LiveSound> {
    if (typeof AudioWorkletNode === 'undefined') {
      throw new Error('This browser cannot play live sound here. Open the page over https or on localhost in a current browser.');
    }
    const context = openContext();
    const module = await engineModule();
    await context.audioWorklet.addModule(workletUrl);
    const node = new AudioWorkletNode(context, 'signal-sketchbook-live', {
      // One input: the microphone or line input, of which the first two channels are taken.
      numberOfInputs: 1,
      channelCount: 2,
      channelCountMode: 'clamped-max',
      channelInterpretation: 'discrete',
      outputChannelCount: [2],
      processorOptions: { module },
    });
    const catalogue = new Engine(module, context.sampleRate, 1).catalogue(specs);
    const live = new LiveSound(context, node, catalogue, listener);
    await live.#ready();
    node.connect(context.destination);
    node.connect(live.#meter);
    return live;
  }

  /** addModule resolves even when the module threw, so wait for its first message. */
  #ready(): Promise<void> {
    return new Promise((resolve, reject) => {
      this.#node.onprocessorerror = () => {
        this.#listener.fault(undefined, 'The sound engine stopped. Press Stop and Listen to start it again.');
        reject(new Error('The sound engine could not be started.'));
      };
      this.#node.port.onmessage = (event: MessageEvent<FromLive>) => {
        if (event.data.type === 'ready') {
          const { arenaStart, regionBytes, soundsStart, soundsBytes, delayFrames } = event.data;
          this.#memory = new SoundMemory(soundsStart, soundsBytes, ({ address, samples }) =>
            this.#send({ type: 'sound', address, samples }, [samples.buffer]),
          );
          this.#sounds = new LiveSounds(this.#memory, soundsBytes, this.#catalogue.specs);
          this.#regions = [arenaStart, arenaStart + regionBytes];
          this.#regionBytes = regionBytes;
          this.#delayFrames = delayFrames;
          resolve();
        } else this.#receive(event.data);
      };
    });
  }

  /** Seconds from a control to the loudspeaker: device, render quantum and the ceiling's look-ahead. */
  get latency(): number {
    const device = (this.context.baseLatency || 0) + (this.context.outputLatency || 0);
    return device + (this.#delayFrames + 128) / this.context.sampleRate;
  }

  /** Highest sample of the last 43 ms (at 48 kHz), full scale 1. */
  peak(): number {
    this.#meter.getFloatTimeDomainData(this.#metered);
    let most = 0;
    for (const x of this.#metered) most = Math.max(most, Math.abs(x));
    return most;
  }

  get playing(): boolean {
    return this.#playing;
  }

  /** Seconds of sound since the device opened. */
  get time(): number {
    return this.context.currentTime;
  }

  #send(message: ToLive, transfer: Transferable[] = []): void {
    this.#node.port.postMessage(message, transfer);
  }

  #receive(message: FromLive): void {
    if (message.type === 'taps') this.#hear(message.batch);
    else if (message.type === 'load') this.#listener.load(message.share);
    else if (message.type === 'fault') this.#listener.fault(message.block, message.reason);
    else if (message.type === 'applied') this.#applied(message.number);
    else if (message.type === 'placed' && this.#memory.acknowledge() !== undefined) this.#planAgain();
  }

  /** The decoded sound files there are, by sha256. Those that the patch plays are brought, and heard as soon as they are there. */
  setSounds(sounds: ReadonlyMap<string, RecordedSound>): void {
    this.#sounds.provide(sounds);
    this.#planAgain();
  }

  /** The patch that is played, or will be, once more: what it reads may have come. */
  #planAgain(): void {
    if (this.#wanted) this.#bring(this.#wanted.patch);
    else if (this.#coming) this.setPatch(this.#coming.plan.patch, this.#coming.taps);
    else if (this.#plan) this.setPatch(this.#plan.patch, this.#taps);
  }

  #bring(patch: Patch): void {
    const say = this.#sounds.bring(patch, [this.#plan?.patch, this.#coming?.plan.patch]);
    if (say) this.#listener.refused(say);
  }

  /** Connects the microphone or line input to the live inputs of the patch, and to nothing else; undefined takes it off. */
  setInput(stream: MediaStream | undefined): void {
    this.#input?.disconnect();
    this.#input = stream && new MediaStreamAudioSourceNode(this.context, { mediaStream: stream });
    this.#input?.connect(this.#node);
  }

  #hear(batch: TapBatch): void {
    const taps = this.#tapsByNumber.get(batch.plan) ?? [];
    let at = 0;
    for (const tap of taps) {
      if (tap.peaksOnly) continue;
      this.#listener.tap(tap, batch.at, batch.samples.subarray(at, at + batch.frames), batch.frames);
      at += batch.frames;
    }
    for (const tap of taps) {
      if (!tap.peaksOnly) continue;
      this.#listener.tap(tap, batch.at, batch.samples.subarray(at, at + 2), batch.frames);
      at += 2;
    }
    this.#send({ type: 'buffer', buffer: batch.samples.buffer }, [batch.samples.buffer]);
  }

  #applied(number: number): void {
    const coming = this.#coming;
    if (coming?.number !== number) return;
    this.#coming = undefined;
    this.#plan = coming.plan;
    this.#region = coming.region;
    this.#taps = coming.taps;
    for (const key of this.#tapsByNumber.keys()) if (key < number) this.#tapsByNumber.delete(key);
    const held = this.#heldMessages;
    this.#heldMessages = [];
    for (const { code, a, b, to } of held) this.message(code, a, b, to);
    const wanted = this.#wanted;
    this.#wanted = undefined;
    if (wanted) this.#update(wanted.patch, wanted.taps, wanted.fresh);
  }

  /**
   * Brings the sound to this patch. `fresh` starts every block anew behind a short fade (another patch was opened,
   * or play was pressed); otherwise all state is carried over. The newest call wins.
   */
  setPatch(patch: Patch, taps: readonly TapRequest[], fresh = false): void {
    if (this.#coming) {
      this.#wanted = { patch, taps, fresh: fresh || (this.#wanted?.fresh ?? false) };
      return;
    }
    this.#update(patch, taps, fresh);
  }

  #update(patch: Patch, taps: readonly TapRequest[], fresh: boolean): void {
    const plan = this.#plan;
    this.#bring(patch);
    const reading = this.#sounds.reading(patch);
    if (plan && !fresh && reading === this.#reading && sameStructure(plan.patch, patch) && sameTaps(this.#taps, taps)) {
      const events = this.#settingChanges(plan, patch);
      if (events.length > 0) this.#send({ type: 'events', events });
      this.#plan = { ...plan, patch };
      return;
    }
    try {
      this.#changeOver(patch, taps, fresh);
      this.#reading = reading;
    } catch (error) {
      if (!(error instanceof PlanRefused)) throw error;
      this.#listener.refused(error.message);
    }
  }

  #settingChanges(plan: Plan, patch: Patch): EngineEvent[] {
    const before = new Map(plan.patch.blocks.map((block) => [block.id, block]));
    const glide = Math.round(GLIDE_SECONDS * plan.rate * plan.quality);
    return patch.blocks.flatMap((block) => {
      const old = before.get(block.id);
      const placed = plan.blocks.get(block.id);
      if (!old || !placed || old === block) return [];
      return placed.spec.settings.flatMap((setting) => {
        const value = settingValue(block, setting);
        return sameValue(value, settingValue(old, setting)) ? [] : settingEvents(placed, setting.id, value, 0, glide);
      });
    });
  }

  #changeOver(patch: Patch, taps: readonly TapRequest[], fresh: boolean): void {
    const rate = this.context.sampleRate;
    const previous = fresh ? undefined : this.#plan;
    const frames = Math.round(GLIDE_SECONDS * rate);
    const other = 1 - this.#region;
    const common = { rate, quality: 1, taps, limit: this.#regionBytes, recordings: this.#sounds.places(patch) } as const;
    const needsFade = previous !== undefined && !sameStructure(previous.patch, patch);
    const number = ++this.#number;
    this.#tapsByNumber.set(number, taps);
    if (needsFade) {
      const through = compilePlan(patch, this.#catalogue, {
        ...common,
        base: this.#at(other),
        previous,
        fade: { before: previous.patch, frames },
      });
      const plan = compilePlan(patch, this.#catalogue, { ...common, base: this.#at(this.#region), previous: through });
      this.#coming = { plan, taps, number, region: this.#region };
      this.#sendPlan(number, plan, false, through, frames);
    } else {
      const plan = compilePlan(patch, this.#catalogue, { ...common, base: this.#at(other), ...(previous ? { previous } : {}) });
      this.#coming = { plan, taps, number, region: other };
      this.#sendPlan(number, plan, fresh, undefined, 0);
    }
  }

  #at(region: number): number {
    return this.#regions[region] as number;
  }

  #sendPlan(number: number, plan: Plan, fresh: boolean, through: Plan | undefined, fadeFrames: number): void {
    const message: ToLive = {
      type: 'plan',
      number,
      plan: livePlan(plan),
      fresh,
      fadeFrames,
      ...(through ? { through: livePlan(through) } : {}),
    };
    this.#send(message);
  }

  /** Volume behind the output blocks, 0..1; moves over 20 ms. */
  setVolume(gain: number): void {
    this.#volume = gain;
    if (this.#playing) this.#ramp(gain);
  }

  #ramp(gain: number): void {
    this.#send({ type: 'gain', gain, frames: Math.round(RAMP_SECONDS * this.context.sampleRate) });
  }

  /** A note, bend or wheel (see MESSAGE) for every block that plays notes; with `to` a message for that block alone. */
  message(code: number, a: number, b: number, to?: string): void {
    if (this.#coming || !this.#plan) {
      this.#heldMessages.push({ code, a, b, ...(to === undefined ? {} : { to }) });
      return;
    }
    const events = [...this.#plan.blocks.values()]
      .filter(({ id, spec }) => (to === undefined ? spec.playsNotes : id === to))
      .map(({ address }): EngineEvent => ({ kind: 'message', frame: 0, block: address, code, a, b }));
    if (events.length > 0) this.#send({ type: 'events', events });
  }

  /** Starts the sound with a 20 ms ramp; every block starts anew. */
  async play(patch: Patch, taps: readonly TapRequest[]): Promise<void> {
    await this.context.resume();
    this.#playing = true;
    this.setPatch(patch, taps, true);
    this.#ramp(this.#volume);
  }

  /** Fades out over 20 ms, then lets the device rest. */
  async stop(): Promise<void> {
    this.#playing = false;
    this.#ramp(0);
    await new Promise((resolve) => setTimeout(resolve, RAMP_SECONDS * 1000 + (this.#delayFrames / this.context.sampleRate) * 1000 + 30));
    if (!this.#playing) await this.context.suspend();
  }

  async close(): Promise<void> {
    await this.stop();
    this.#node.disconnect();
    await this.context.close();
  }
}

function livePlan(plan: Plan): LivePlan {
  const ids: string[] = [];
  for (const block of plan.blocks.values()) ids[block.index] = block.id;
  return { image: plan.image, base: plan.base, totalBytes: plan.totalBytes, taps: plan.taps, ids };
}
