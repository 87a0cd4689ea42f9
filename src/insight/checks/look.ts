/** What several rules ask of a drawing. */
import type { InputSpec, OutputSpec } from '../../patch/blockSpec.ts';
import { type Place, placeName } from '../../patch/document.ts';
import { findSetting, settingValue } from '../../patch/settings.ts';
import { type KnownBlock, labelOf, sourceOf, type Wired } from '../wired.ts';

export const blocksOf = (wired: Wired): KnownBlock[] => [...wired.blocks.values()];

export function outletsOf(wired: Wired): KnownBlock[] {
  return blocksOf(wired).filter(({ spec }) => spec.bus);
}

/** Does a cable or a probe sit on one of these outputs? */
export function isUsed(wired: Wired, known: KnownBlock, outputs: readonly string[]): boolean {
  const probes = new Set((wired.patch.probes ?? []).map((probe) => placeName(probe.at)));
  return outputs.some((output) => wired.from.has(`${known.block.id}.${output}`) || probes.has(`${known.block.id}.${output}`));
}

export function isAnyUsed(wired: Wired, known: KnownBlock): boolean {
  return isUsed(
    wired,
    known,
    known.spec.outputs.map((output) => output.id),
  );
}

export function isPatched(wired: Wired, known: KnownBlock, input: string): boolean {
  return sourceOf(wired, known.block.id, input) !== undefined;
}

/** A number setting's value; 0 where there is none of that name. */
export function numberOf(known: KnownBlock, id: string): number {
  const setting = findSetting(known.spec, id);
  return setting ? Number(settingValue(known.block, setting)) : 0;
}

export function outputSpec(wired: Wired, [id, output]: Place): OutputSpec | undefined {
  return wired.blocks.get(id)?.spec.outputs.find((each) => each.id === output);
}

/** "Sine" of Tide */
export function outputName(wired: Wired, place: Place): string {
  const output = outputSpec(wired, place);
  return `"${output?.title ?? place[1]}" of ${labelOf(wired, place[0])}`;
}

export interface Connection {
  readonly known: KnownBlock;
  readonly input: InputSpec;
  readonly source: Place;
}

/** Every cable, seen from the input it ends in, in the order of the blocks. */
export function connections(wired: Wired): Connection[] {
  return blocksOf(wired).flatMap((known) =>
    known.spec.inputs.flatMap((input) => {
      const source = sourceOf(wired, known.block.id, input.id);
      return source ? [{ known, input, source }] : [];
    }),
  );
}

/** Cables into inputs that act on edges. */
export function gateConnections(wired: Wired): Connection[] {
  return connections(wired).filter(({ input }) => input.kind === 'gate');
}

/** "Gate" of Pluck */
export function inputName({ known, input }: Pick<Connection, 'known' | 'input'>): string {
  return `"${input.title}" of ${known.label}`;
}

/** Ids of blocks whose signal itself reaches an output, through what passes signals on; not those that only move something. */
export function blocksOnSoundPath(wired: Wired): ReadonlySet<string> {
  const reached = new Set<string>();
  const open: Place[] = [];
  const follow = (known: KnownBlock, inputs: readonly string[]): void => {
    for (const input of inputs) {
      const source = sourceOf(wired, known.block.id, input);
      if (source) open.push(source);
    }
  };
  for (const outlet of outletsOf(wired)) {
    follow(
      outlet,
      outlet.spec.inputs.map(({ id }) => id),
    );
  }
  const seen = new Set<string>();
  for (let place = open.pop(); place !== undefined; place = open.pop()) {
    const known = wired.blocks.get(place[0]);
    if (!known || seen.has(placeName(place))) continue;
    seen.add(placeName(place));
    reached.add(place[0]);
    for (const flow of known.spec.flows ?? []) if (flow.to.includes(place[1])) follow(known, flow.from);
  }
  return reached;
}

/** Ids of blocks that lie on a loop of cables. */
export function onLoops(wired: Wired): ReadonlySet<string> {
  const next = (id: string): string[] =>
    (wired.blocks.get(id)?.spec.outputs ?? []).flatMap((output) => (wired.from.get(`${id}.${output.id}`) ?? []).map(({ to }) => to[0]));
  const looped = new Set<string>();
  for (const id of wired.blocks.keys()) {
    const seen = new Set<string>();
    const open = next(id);
    for (let at = open.pop(); at !== undefined && !looped.has(id); at = open.pop()) {
      if (at === id) looped.add(id);
      if (seen.has(at)) continue;
      seen.add(at);
      open.push(...next(at));
    }
  }
  return looped;
}

/** Three significant digits, without a tail of zeros. */
export function plain(value: number): string {
  return String(Number(value.toPrecision(3)));
}
