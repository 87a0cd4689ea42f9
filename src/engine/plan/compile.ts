/** Turns a patch into a plan. Pure: the same patch and options give the same bytes. */
import type { BlockSpec } from '../../patch/blockSpec.ts';
import { type Block, DEFAULT_SEED, type Patch, type Place, placeName } from '../../patch/document.ts';
import { settingNumbers, settingValue } from '../../patch/settings.ts';
import { Arena, BUS_BYTES, CARRY_BYTES, CHUNK, CONSTANT_BYTES, FADE_BYTES, ITEM_BYTES, PLAN, PLAN_BYTES, SIGNAL_BYTES, SIGNAL_HEADER, TAP, TAP_BYTES, TARGET_BYTES } from './image.ts';
import { HEAD, HEAD_BYTES, layoutOf, outputIds } from './layout.ts';
import { orderBlocks, type Step } from './order.ts';
import { type EngineCatalogue, type PlacedBlock, type PlacedTap, type Plan, type PlanOptions, PlanRefused } from './plan.ts';
import { blockSeed } from './seed.ts';
import { isPlace, type Source, type WiredInput, wire } from './wiring.ts';

/** Settings glide for 5 ms, switches and whole numbers switch. */
export const GLIDE_SECONDS = 0.005;

export function glides(spec: BlockSpec, settingId: string): boolean {
  const setting = spec.settings.find(({ id }) => id === settingId);
  return setting?.type === 'number' && !setting.whole;
}

interface Fading {
  readonly input: string;
  readonly owner: string;
  readonly a: Source;
  readonly b: Source;
  record: number;
  signal: number;
}

export function compilePlan(patch: Patch, catalogue: EngineCatalogue, options: PlanOptions): Plan {
  const kindOf = new Map(catalogue.specs.map((spec, kind) => [spec.type, kind]));
  const specOf = (type: string): BlockSpec => {
    const spec = catalogue.specs[kindOf.get(type) ?? -1];
    if (!spec) throw new PlanRefused(`There is no block of type "${type}".`);
    return spec;
  };
  const wiring = wire(patch, specOf, options.fade?.before);
  const feeds = new Set((options.feeds ?? []).map(placeName));
  const { steps, delayed } = orderBlocks(wiring.blocks.map(({ id }) => id), wiring.edges.filter((edge) => !feeds.has(edge.name)));
  const sequence = steps.flatMap((step) => ('block' in step ? [step.block] : step.loop));
  const blockById = new Map(wiring.blocks.map((block) => [block.id, block]));

  // What is read: cables (also fading ones), taps and buses.
  const wanted = new Set<string>();
  for (const input of wiring.inputs.values()) {
    for (const source of [input.now, input.before]) if (source && isPlace(source)) wanted.add(placeName(source));
  }
  const taps = options.taps ?? [];
  for (const tap of taps) wanted.add(placeName(tap.at));
  const fadings = fadingInputs(wiring.inputs, feeds);
  const seconds = (spec: BlockSpec): number => Math.ceil((spec.memorySeconds ?? 0) * options.rate * options.quality);

  const rests = [...new Set([0, ...[...wiring.inputs.values()].flatMap(({ now, before }) => [now, before]).flatMap((s) => (s && !isPlace(s) ? [s.rest] : []))])];
  const buses = sequence.filter((id) => specOf((blockById.get(id) as Block).type).bus);
  const carried = sequence.filter((id) => options.previous?.blocks.get(id)?.spec.type === blockById.get(id)?.type);
  const targets = carried.filter((id) => patch.blocks.some((block) => block.id === id));
  const numbers = new Map(targets.map((id) => [id, settingsOf(specOf((blockById.get(id) as Block).type), blockById.get(id) as Block)]));

  // Addresses: image first, then memory that starts as zero.
  const arena = new Arena(options.base);
  const head = arena.take(PLAN_BYTES, 64);
  const blockTable = arena.take(sequence.length * 4);
  const loops = steps.flatMap((step) => ('loop' in step ? [step.loop] : []));
  const itemCount = sequence.length + loops.length + fadings.length;
  const items = arena.take(itemCount * ITEM_BYTES);
  const busTable = arena.take(buses.length * BUS_BYTES);
  const tapTable = arena.take(taps.length * TAP_BYTES);
  const delayedNames = [...delayed].sort();
  const delayedTable = arena.take(delayedNames.length * 4);
  const constantTable = arena.take(rests.length * CONSTANT_BYTES);
  const carryTable = arena.take(carried.length * CARRY_BYTES);
  const targetCount = [...numbers.values()].reduce((sum, list) => sum + list.length, 0);
  const targetTable = arena.take(targetCount * TARGET_BYTES);
  for (const fading of fadings) fading.record = arena.take(FADE_BYTES);
  const blocks = new Map<string, PlacedBlock>();
  for (const [index, id] of sequence.entries()) {
    const spec = specOf((blockById.get(id) as Block).type);
    const kind = kindOf.get(spec.type) as number;
    blocks.set(id, { id, index, kind, spec, layout: layoutOf(spec), address: arena.take(catalogue.structBytes[kind] as number, 16) });
  }
  const outputs = [...blocks.values()].flatMap((block) => outputIds(block.spec).map((port) => ({ block, port, name: placeName([block.id, port]) })));
  const written = outputs.filter(({ name, block, port }) => wanted.has(name) || block.spec.bus?.left === port || block.spec.bus?.right === port);
  const ownersTable = arena.take((written.length + fadings.length) * 4);
  const carriedSignals = written.filter(({ name, block }) => carried.includes(block.id) && options.previous?.signals.has(name));
  const carriedTable = arena.take(carriedSignals.length * 8);
  const imageEnd = arena.take(0, 64);

  const signalsStart = arena.take((written.length + fadings.length) * SIGNAL_BYTES, 16);
  const signals = new Map(written.map(({ name }, i) => [name, signalsStart + i * SIGNAL_BYTES + SIGNAL_HEADER]));
  for (const [i, fading] of fadings.entries()) fading.signal = signalsStart + (written.length + i) * SIGNAL_BYTES + SIGNAL_HEADER;
  const takeSignal = (): number => arena.take(SIGNAL_BYTES, 16) + SIGNAL_HEADER;
  const constants = new Map(rests.map((volts) => [volts, takeSignal()]));
  const feedSignals = new Map((options.feeds ?? []).map((place) => [placeName(place), takeSignal()]));
  const placedTaps: PlacedTap[] = taps.map((tap, i) => ({ ...tap, address: tapTable + i * TAP_BYTES, out: tap.peaksOnly ? 0 : arena.take(CHUNK * 4, 16) }));
  const decimators = placedTaps.map((tap) => (tap.out !== 0 && options.quality > 1 ? arena.take(catalogue.decimatorBytes, 16) : 0));
  const memories = new Map([...blocks.values()].filter(({ spec }) => spec.memorySeconds).map(({ id, spec }) => [id, arena.take(seconds(spec) * 4, 16)]));
  const totalBytes = arena.end - options.base;
  if (options.limit !== undefined && totalBytes > options.limit) {
    throw new PlanRefused(`This patch needs ${Math.ceil(totalBytes / 1048576)} MB of sound memory and ${Math.floor(options.limit / 1048576)} MB are available. Remove some blocks or split the patch in two.`);
  }

  const image = new Uint8Array(imageEnd - options.base);
  const view = new DataView(image.buffer);
  const u32 = (at: number, value: number): void => view.setUint32(at - options.base, value, true);
  const f32 = (at: number, value: number): void => view.setFloat32(at - options.base, value, true);
  const f64 = (at: number, value: number): void => view.setFloat64(at - options.base, value, true);
  const i64 = (at: number, value: bigint): void => view.setBigInt64(at - options.base, value, true);

  const fields: Partial<Record<keyof typeof PLAN, number>> = {
    blockCount: sequence.length, blocks: blockTable, itemCount, items, busCount: buses.length, buses: busTable, tapCount: taps.length, taps: tapTable,
    delayedCount: delayedNames.length, delayed: delayedTable, constantCount: rests.length, constants: constantTable,
    signalCount: written.length + fadings.length, signals: signalsStart, owners: ownersTable, carryCount: carried.length, carries: carryTable,
    targetCount, targets: targetTable, carriedSignalCount: carriedSignals.length, carriedSignals: carriedTable, imageBytes: imageEnd - options.base, totalBytes,
  };
  for (const [name, value] of Object.entries(fields)) u32(head + PLAN[name as keyof typeof PLAN], value);

  const addressOf = (source: Source, edge: string): number => {
    if (!isPlace(source)) return constants.get(source.rest) as number;
    const signal = signals.get(placeName(source)) as number;
    return delayed.has(edge) ? signal - 4 : signal;
  };
  for (const block of blocks.values()) {
    u32(blockTable + block.index * 4, block.address);
    writeBlock(block);
  }
  function writeBlock({ id, kind, spec, layout, address }: PlacedBlock): void {
    f64(address + HEAD.sampleRate, options.rate * options.quality);
    i64(address + HEAD.seed, BigInt.asIntN(64, blockSeed(patch.seed ?? DEFAULT_SEED, id)));
    u32(address + HEAD.quality, options.quality);
    u32(address + HEAD.kind, kind);
    u32(address + HEAD.bytes, catalogue.structBytes[kind] as number);
    u32(address + HEAD.memory, memories.get(id) ?? 0);
    u32(address + HEAD.memoryFrames, spec.memorySeconds ? seconds(spec) : 0);
    let patched = 0;
    for (const [i, input] of spec.inputs.entries()) {
      const name = placeName([id, input.id]);
      const wired = wiring.inputs.get(name) as WiredInput;
      const feed = feedSignals.get(name);
      if (feed !== undefined || wired.patched) patched |= 1 << i;
      const fading = fadings.find((entry) => entry.input === name);
      u32(address + (layout.inputs[i] as number), feed ?? fading?.signal ?? addressOf(wired.now, name));
    }
    view.setUint32(address + HEAD.patched - options.base, patched >>> 0, true);
    for (const [i, port] of outputIds(spec).entries()) u32(address + (layout.outputs[i] as number), signals.get(placeName([id, port])) ?? 0);
    for (const { offset, value } of settingsOf(spec, blockById.get(id) as Block)) f64(address + offset, value);
  }

  let item = items;
  const addItem = (op: number, at: number, count: number): void => {
    u32(item, op);
    u32(item + 4, at);
    u32(item + 8, count);
    item += ITEM_BYTES;
  };
  const addBlock = (id: string): void => {
    for (const fading of fadings) if (fading.owner === id) addItem(2, fading.record, 0);
    addItem(0, (blocks.get(id) as PlacedBlock).address, 0);
  };
  const fadesOf = (ids: readonly string[]): number => fadings.filter(({ owner }) => ids.includes(owner)).length;
  for (const step of steps as readonly Step[]) {
    if ('block' in step) addBlock(step.block);
    else {
      addItem(1, 0, step.loop.length + fadesOf(step.loop));
      step.loop.forEach(addBlock);
    }
  }
  for (const fading of fadings) {
    u32(fading.record, addressOf(fading.a, `${fading.input}~`));
    u32(fading.record + 4, addressOf(fading.b, fading.input));
    u32(fading.record + 8, fading.signal);
    u32(fading.record + 12, options.fade?.frames ?? 1);
  }
  for (const [i, id] of buses.entries()) {
    const block = blocks.get(id) as PlacedBlock;
    const bus = block.spec.bus as NonNullable<BlockSpec['bus']>;
    const at = busTable + i * BUS_BYTES;
    u32(at, signals.get(placeName([id, bus.left])) as number);
    u32(at + 4, signals.get(placeName([id, bus.right])) as number);
    u32(at + 8, block.address + (block.layout.settings.find((setting) => setting.id === bus.ceiling)?.offset as number));
  }
  for (const [i, tap] of placedTaps.entries()) {
    const signal = signals.get(placeName(tap.at));
    if (signal === undefined) throw new PlanRefused(`There is no output ${placeName(tap.at)} to record.`);
    u32(tap.address, signal);
    u32(tap.address + 4, tap.out);
    u32(tap.address + 8, decimators[i] as number);
    f32(tap.address + TAP.lowest, 3.4e38);
    f32(tap.address + TAP.highest, -3.4e38);
  }
  for (const [i, name] of delayedNames.entries()) u32(delayedTable + i * 4, delayedSignal(name));
  function delayedSignal(name: string): number {
    const isOld = name.endsWith('~');
    const input = wiring.inputs.get(isOld ? name.slice(0, -1) : name) as WiredInput;
    return signals.get(placeName((isOld ? input.before : input.now) as Place)) as number;
  }
  for (const [i, volts] of rests.entries()) {
    u32(constantTable + i * CONSTANT_BYTES, constants.get(volts) as number);
    f32(constantTable + i * CONSTANT_BYTES + 4, volts);
  }
  for (const [i, { block }] of written.entries()) u32(ownersTable + i * 4, block.index);
  for (const i of fadings.keys()) u32(ownersTable + (written.length + i) * 4, 0xffffffff);
  for (const [i, id] of carried.entries()) {
    const block = blocks.get(id) as PlacedBlock;
    const at = carryTable + i * CARRY_BYTES;
    u32(at, block.address);
    u32(at + 4, (options.previous?.blocks.get(id) as PlacedBlock).address);
    u32(at + 8, block.layout.inputs[0] ?? block.layout.outputs[0] ?? HEAD_BYTES);
    u32(at + 12, block.layout.bytes);
  }
  for (const [i, { name }] of carriedSignals.entries()) {
    u32(carriedTable + i * 8, signals.get(name) as number);
    u32(carriedTable + i * 8 + 4, options.previous?.signals.get(name) as number);
  }
  const glideFrames = BigInt(Math.round(GLIDE_SECONDS * options.rate * options.quality));
  let target = targetTable;
  for (const [id, list] of numbers) {
    const block = blocks.get(id) as PlacedBlock;
    for (const { offset, value, setting } of list) {
      u32(target, block.address);
      u32(target + 4, offset);
      f64(target + 8, value);
      i64(target + 16, glides(block.spec, setting) ? glideFrames : 0n);
      target += TARGET_BYTES;
    }
  }
  return { patch, rate: options.rate, quality: options.quality, base: options.base, image, totalBytes, blocks, taps: placedTaps, feeds: feedSignals, signals, delayed, loops };
}

/** Every number of a block's settings with its offset in the struct. */
function settingsOf(spec: BlockSpec, block: Block): { setting: string; offset: number; value: number }[] {
  const layout = layoutOf(spec);
  return spec.settings.flatMap((setting, i) => {
    const place = layout.settings[i];
    return settingNumbers(setting, settingValue(block, setting)).map((value, k) => ({ setting: setting.id, value, offset: (place?.offset ?? 0) + k * 8 }));
  });
}

function fadingInputs(inputs: ReadonlyMap<string, WiredInput>, feeds: ReadonlySet<string>): Fading[] {
  return [...inputs]
    .filter(([name, input]) => input.before !== undefined && !feeds.has(name))
    .map(([input, { now, before }]) => ({ input, owner: input.slice(0, input.indexOf('.')), a: before as Source, b: now, record: 0, signal: 0 }));
}
