/** Turns a patch into a plan. Pure: the same patch and options give the same bytes. */
import type { BlockSpec } from '../../patch/blockSpec.ts';
import { type Block, DEFAULT_SEED, type Patch, type Place, placeName } from '../../patch/document.ts';
import { findSetting, settingNumbers, settingValue } from '../../patch/settings.ts';
import { BUS_BYTES, CARRY_BYTES, CONSTANT_BYTES, ImageWriter, ITEM_BYTES, PLAN, TAP, TARGET_BYTES } from './image.ts';
import { HEAD, HEAD_BYTES, layoutOf, outputIds } from './layout.ts';
import { type EngineCatalogue, type LoadedRecording, type PlacedBlock, type Plan, type PlanOptions, PlanRefused } from './plan.ts';
import { type Resolved, type ResolvedBlock, resolve } from './resolve.ts';
import { blockSeed } from './seed.ts';
import { type Settled, settle } from './settle.ts';
import { isPlace, type Source } from './wiring.ts';

/** Settings glide for 5 ms, switches and whole numbers switch. */
export const GLIDE_SECONDS = 0.005;

/** A fade has no owner that could be at fault. */
const NOBODY = 0xffffffff;
const NOTHING_SEEN = 3.4e38;
const MEGABYTE = 1048576;

export function glides(spec: BlockSpec, settingId: string): boolean {
  const setting = findSetting(spec, settingId);
  return setting?.type === 'number' && !setting.whole;
}

/** Throws PlanRefused with a sentence where the patch cannot be run as it stands. */
export function compilePlan(patch: Patch, catalogue: EngineCatalogue, options: PlanOptions): Plan {
  const resolved = resolve(patch, catalogue, options);
  const { previous } = options;
  const carried = resolved.blocks.filter((block) => block.carried);
  const targets = carried.filter(({ stays }) => stays).flatMap((block) => numbersOf(block).map((entry) => ({ ...entry, owner: block })));
  const carriedSignals = resolved.outputs.filter(({ block, name }) => block.carried && previous?.signals.has(name));
  const buses = resolved.blocks.filter(({ spec }) => spec.bus);
  const settled = settle(resolved, catalogue, options, {
    buses: buses.length,
    carries: carried.length,
    targets: targets.length,
    carriedSignals: carriedSignals.length,
  });
  const totalBytes = settled.end - options.base;
  refuseTooLarge(totalBytes, options.limit);

  const image = new ImageWriter(options.base, settled.imageEnd - options.base);
  const placed = (id: string): PlacedBlock => settled.blocks.get(id) as PlacedBlock;
  writeHead(image, settled, totalBytes, options.base);
  for (const block of resolved.blocks) writeBlock(image, block, resolved, settled, patch, catalogue, options);
  writeSchedule(image, resolved, settled);
  writeFades(image, resolved, settled, options.fade?.frames ?? 1);
  for (const [i, { id, spec }] of buses.entries()) {
    const bus = spec.bus as NonNullable<BlockSpec['bus']>;
    const { address, layout } = placed(id);
    const ceiling = address + (layout.settings.find((setting) => setting.id === bus.ceiling)?.offset as number);
    const [left, right] = [bus.left, bus.right].map((port) => settled.signals.get(placeName([id, port])) as number);
    image.u32(settled.buses.at + i * BUS_BYTES, left as number, right as number, ceiling);
  }
  for (const [i, tap] of settled.placedTaps.entries()) {
    const signal = settled.signals.get(placeName(tap.at));
    if (signal === undefined) throw new PlanRefused(`There is no output ${placeName(tap.at)} to record.`);
    image.u32(tap.address, signal, tap.out, settled.decimators[i] as number);
    image.f32(tap.address + TAP.lowest, NOTHING_SEEN);
    image.f32(tap.address + TAP.highest, -NOTHING_SEEN);
  }
  for (const [i, volts] of resolved.rests.entries()) {
    image.u32(settled.constants.at + i * CONSTANT_BYTES, settled.rests.get(volts) as number);
    image.f32(settled.constants.at + i * CONSTANT_BYTES + 4, volts);
  }
  image.u32(settled.owners.at, ...resolved.outputs.map(({ block }) => placed(block.id).index), ...resolved.fadings.map(() => NOBODY));
  for (const [i, { id }] of carried.entries()) {
    const { address, layout } = placed(id);
    const from = previous?.blocks.get(id)?.address ?? 0;
    const settingsEnd = layout.inputs[0] ?? layout.outputs[0] ?? HEAD_BYTES;
    const memoryBytes = (settled.memories.get(id)?.frames ?? 0) * 4;
    image.u32(settled.carries.at + i * CARRY_BYTES, address, from, settingsEnd, layout.bytes, memoryBytes);
  }
  for (const [i, { name }] of carriedSignals.entries()) {
    image.u32(settled.carriedSignals.at + i * 8, settled.signals.get(name) as number, previous?.signals.get(name) ?? 0);
  }
  const glideFrames = BigInt(Math.round(GLIDE_SECONDS * options.rate * options.quality));
  for (const [i, { owner, setting, offset, value }] of targets.entries()) {
    const at = settled.targets.at + i * TARGET_BYTES;
    image.u32(at, placed(owner.id).address, offset);
    image.f64(at + 8, value);
    image.i64(at + 16, glides(owner.spec, setting) ? glideFrames : 0n);
  }
  return {
    patch,
    rate: options.rate,
    quality: options.quality,
    base: options.base,
    image: image.bytes,
    totalBytes,
    blocks: settled.blocks,
    taps: settled.placedTaps,
    feeds: settled.feeds,
    signals: settled.signals,
    delayed: resolved.delayed,
    loops: resolved.steps.flatMap((step) => ('loop' in step ? [step.loop] : [])),
  };
}

function refuseTooLarge(bytes: number, limit: number | undefined): void {
  if (limit === undefined || bytes <= limit) return;
  const [needed, there] = [Math.ceil(bytes / MEGABYTE), Math.floor(limit / MEGABYTE)];
  throw new PlanRefused(
    `This patch needs ${needed} MB of sound memory and ${there} MB are available. Remove some blocks or split the patch in two.`,
  );
}

/** Every number of a block's settings with its offset in the struct. */
function numbersOf({ spec, block }: { spec: BlockSpec; block: Block }): { setting: string; offset: number; value: number }[] {
  const layout = layoutOf(spec);
  return spec.settings.flatMap((setting, i) => {
    const offset = layout.settings[i]?.offset ?? 0;
    return settingNumbers(setting, settingValue(block, setting)).map((value, k) => ({
      setting: setting.id,
      value,
      offset: offset + k * 8,
    }));
  });
}

function writeHead(image: ImageWriter, settled: Settled, totalBytes: number, base: number): void {
  const fields: Record<keyof typeof PLAN, number> = {
    blockCount: settled.blockTable.count,
    blocks: settled.blockTable.at,
    itemCount: settled.items.count,
    items: settled.items.at,
    busCount: settled.buses.count,
    buses: settled.buses.at,
    tapCount: settled.taps.count,
    taps: settled.taps.at,
    delayedCount: settled.delayed.count,
    delayed: settled.delayed.at,
    constantCount: settled.constants.count,
    constants: settled.constants.at,
    signalCount: settled.signalCount,
    signals: settled.signalsStart,
    owners: settled.owners.at,
    carryCount: settled.carries.count,
    carries: settled.carries.at,
    targetCount: settled.targets.count,
    targets: settled.targets.at,
    carriedSignalCount: settled.carriedSignals.count,
    carriedSignals: settled.carriedSignals.at,
    imageBytes: settled.imageEnd - base,
    totalBytes,
  };
  for (const [name, value] of Object.entries(fields)) image.u32(settled.head + PLAN[name as keyof typeof PLAN], value);
}

/** Where an input reads: a delayed one begins one frame earlier, at the last frame of the chunk before. */
function addressOf(source: Source, edge: string, resolved: Resolved, settled: Settled): number {
  const volts = resolved.holds.get(edge) ?? (isPlace(source) ? undefined : source.rest);
  if (volts !== undefined) return settled.rests.get(volts) as number;
  const signal = settled.signals.get(placeName(source as Place)) as number;
  return resolved.delayed.has(edge) ? signal - 4 : signal;
}

function writeBlock(
  image: ImageWriter,
  resolvedBlock: ResolvedBlock,
  resolved: Resolved,
  settled: Settled,
  patch: Patch,
  catalogue: EngineCatalogue,
  options: PlanOptions,
): void {
  const { id, spec, kind } = resolvedBlock;
  const { address, layout, index } = settled.blocks.get(id) as PlacedBlock;
  const memory = settled.memories.get(id);
  const recording = recordingOf(resolvedBlock, options);
  image.u32(settled.blockTable.at + index * 4, address);
  image.f64(address + HEAD.sampleRate, options.rate * options.quality);
  image.i64(address + HEAD.seed, blockSeed(patch.seed ?? DEFAULT_SEED, id));
  image.u32(address + HEAD.quality, options.quality);
  image.u32(address + HEAD.kind, kind);
  image.u32(address + HEAD.bytes, catalogue.structBytes[kind] as number);
  image.u32(address + HEAD.memory, recording?.address ?? memory?.at ?? 0, recording?.frames ?? memory?.frames ?? 0);
  image.f64(address + HEAD.memoryRate, recording?.rate ?? 0);
  let patched = 0;
  for (const [i, input] of spec.inputs.entries()) {
    const name = placeName([id, input.id]);
    const feed = settled.feeds.get(name);
    const wired = resolved.wiring.inputs.get(name);
    if (!wired) continue;
    if (feed !== undefined || wired.patched) patched |= 1 << i;
    const fade = resolved.fadings.findIndex((fading) => fading.input === name);
    const source = feed ?? settled.fadeSignals[fade] ?? addressOf(wired.now, name, resolved, settled);
    image.u32(address + (layout.inputs[i] as number), source);
  }
  image.u32(address + HEAD.patched, patched);
  image.u32(address + HEAD.inside, insideOf(resolvedBlock, resolved));
  for (const [i, port] of outputIds(spec).entries()) {
    image.u32(address + (layout.outputs[i] as number), settled.signals.get(placeName([id, port])) ?? 0);
  }
  for (const { offset, value } of numbersOf(resolvedBlock)) image.f64(address + offset, value);
}

/** Bit i for each input that reads its own loop, now or while a fade goes on. */
function insideOf({ id, spec }: ResolvedBlock, { steps, wiring, fadings }: Resolved): number {
  const step = steps.find((each) => 'loop' in each && each.loop.includes(id));
  const members = step && 'loop' in step ? step.loop : [];
  return spec.inputs.reduce((bits, input, i) => {
    const name = placeName([id, input.id]);
    const now = wiring.inputs.get(name)?.now;
    const loops = (now !== undefined && isPlace(now) && members.includes(now[0])) || fadings.some((fading) => fading.input === name);
    return loops ? bits | (1 << i) : bits;
  }, 0);
}

/** The sound file that a block's setting names, where the host has loaded it. */
function recordingOf({ spec, block }: ResolvedBlock, { recordings }: PlanOptions): LoadedRecording | undefined {
  const setting = spec.settings.find(({ type }) => type === 'recording');
  return setting && recordings?.get(settingValue(block, setting) as string);
}

const BLOCK = 0;
const LOOP = 1;
const FADE = 2;

/** The schedule; an input's fade runs just before its block. */
function writeSchedule(image: ImageWriter, resolved: Resolved, settled: Settled): void {
  let at = settled.items.at;
  const add = (op: number, address: number, count: number): void => {
    image.u32(at, op, address, count);
    at += ITEM_BYTES;
  };
  const addBlock = (id: string): void => {
    for (const [i, { owner }] of resolved.fadings.entries()) if (owner === id) add(FADE, settled.fades[i] as number, 0);
    add(BLOCK, (settled.blocks.get(id) as PlacedBlock).address, 0);
  };
  for (const step of resolved.steps) {
    if ('block' in step) addBlock(step.block);
    else {
      const fades = resolved.fadings.filter(({ owner }) => step.loop.includes(owner)).length;
      add(LOOP, 0, step.loop.length + fades);
      step.loop.forEach(addBlock);
    }
  }
}

function writeFades(image: ImageWriter, resolved: Resolved, settled: Settled, frames: number): void {
  for (const [i, { input, from, to }] of resolved.fadings.entries()) {
    const [a, b] = [addressOf(from, `${input}~`, resolved, settled), addressOf(to, input, resolved, settled)];
    image.u32(settled.fades[i] as number, a, b, settled.fadeSignals[i] as number, frames);
  }
  const delayed = [...resolved.delayed].sort().map((edge) => {
    const isOld = edge.endsWith('~');
    const input = resolved.wiring.inputs.get(isOld ? edge.slice(0, -1) : edge);
    return settled.signals.get(placeName((isOld ? input?.before : input?.now) as Place)) as number;
  });
  image.u32(settled.delayed.at, ...delayed);
}
