/** What a voltage is, as a phrase: "Beacon (triangle, 0.8 Hz)", "the envelope Ring", "a cross-fade between ...". */
import { type Place, placeName } from '../../patch/document.ts';
import type { Act } from '../../patch/roles.ts';
import { findSetting, settingValue } from '../../patch/settings.ts';
import { AUDIO_HZ } from '../constructions/movement.ts';
import { hasJob, hertzOf, isSignal, runsAlone } from '../constructions/reading.ts';
import { type KnownBlock, restsAtZero, sourceOf } from '../wired.ts';
import { outputTitle, type Telling } from './telling.ts';
import { hertzText, list } from './words.ts';

/** Phrases look so far back; beyond it a block stands for itself. */
const DEEPEST = 4;

interface Phrase {
  readonly say: string;
  /** The blocks it speaks of. */
  readonly blocks: readonly string[];
}

export function phraseOf(telling: Telling, from: Place, depth = 0): Phrase {
  const known = telling.known(from[0]);
  const own = telling.name(from[0]);
  const plain: Phrase = { say: own, blocks: [from[0]] };
  if (!known) return plain;
  const inside = (place: Place): Phrase => phraseOf(telling, place, depth + 1);
  const output = known.spec.outputs.find(({ id }) => id === from[1]);
  const upsideDown = output?.gives === 'inverted' ? ' upside down' : '';

  if (hasJob(known, 'envelope')) {
    if (output?.kind === 'gate') return { ...plain, say: `the ${outputTitle(telling, from)} of ${own}` };
    return { ...plain, say: `the ${runsAlone(telling, known) ? 'looping envelope' : known.spec.part.one} ${own}${upsideDown}` };
  }
  if (hasJob(known, 'cycle', 'tone')) {
    const speed = speedWords(telling, known, from);
    return { ...plain, say: `${own} (${outputTitle(telling, from)}${speed === '' ? '' : `, ${speed}`})` };
  }
  if (hasJob(known, 'noise')) return { ...plain, say: `the ${outputTitle(telling, from)} noise of ${own}` };
  if (hasJob(known, 'hand', 'sequence')) return { ...plain, say: `the ${outputTitle(telling, from)} of ${own}` };
  if (hasJob(known, 'shift', 'random')) {
    if (output?.kind === 'gate') return { ...plain, say: `the ${outputTitle(telling, from)} of ${own}` };
    const kind = isByLot(telling, known) ? (output?.smooth ? 'smooth random voltage' : 'random voltage') : 'held voltage';
    return { ...plain, say: `the ${kind} of ${own}` };
  }
  const sources = signalsOf(telling, known, from[1]);
  if (hasJob(known, 'follow')) {
    const heard = sources[0];
    return heard ? { say: `the loudness of ${telling.name(heard[0])} as ${own} follows it`, blocks: [from[0], heard[0]] } : plain;
  }
  if (depth >= DEEPEST) return plain;
  if (hasJob(known, 'sum')) {
    if (sources.length === 0) return plain;
    const fade = crossfade(telling, from, sources);
    if (fade) return fade;
    const parts = sources.map(inside);
    const blocks = [from[0], ...parts.flatMap((part) => part.blocks)];
    const names = parts.map(({ say }) => say);
    if (parts.length === 1) return { say: names[0] ?? own, blocks };
    return { say: `${own}, the sum of ${list(names, 4)}${upsideDown},`, blocks };
  }
  if (hasJob(known, 'scale') && sources.length === 0) return { ...plain, say: `the fixed voltage of ${own}` };
  if (hasJob(known, 'fixed') && sources.length === 0) return { ...plain, say: `the ${outputTitle(telling, from)} of ${own}` };
  const [source] = sources;
  if (source && sources.length === 1 && hasJob(known, 'scale', 'smooth', 'gain', 'quantize', 'rectify', 'shape')) {
    const part = inside(source);
    return { say: `${part.say}${changedBy(telling, known)}`, blocks: [...part.blocks, from[0]] };
  }
  return output?.kind === 'gate' || known.spec.outputs.length > 1
    ? { ...plain, say: `the ${outputTitle(telling, from)} of ${own}` }
    : plain;
}

/** "0.8 Hz"; roughly where something pushes it, and for played tones only that they are tones. */
function speedWords(telling: Telling, known: KnownBlock, from: Place): string {
  const hertz = hertzOf(telling, from);
  if (hertz === undefined) return '';
  const pushed = (...wanted: readonly Act[]): boolean =>
    known.spec.inputs.some(({ id, acts }) => acts !== undefined && wanted.includes(acts) && sourceOf(telling.wired, known.block.id, id));
  if (pushed('pitch', 'frequency')) return hertz >= AUDIO_HZ ? 'at audio rate' : `about ${hertzText(roughly(hertz))}`;
  return pushed('rate') ? `about ${hertzText(roughly(hertz))}` : hertzText(hertz);
}

/** Two digits of the period or of the frequency, whichever is told. */
function roughly(hertz: number): number {
  return hertz >= 0.5 ? Number(hertz.toPrecision(2)) : 1 / Number((1 / hertz).toPrecision(2));
}

/** A sum of two amplifiers that fade into each other: what goes into them is what counts. */
function crossfade(telling: Telling, [sum]: Place, sources: readonly Place[]): Phrase | undefined {
  const found = telling.found.find(({ construction, blocks }) => construction.id === 'crossfade-by-inverted-copy' && blocks.includes(sum));
  const amplifiers = sources.map(([id]) => id);
  if (!found || amplifiers.length !== 2 || !amplifiers.every((id) => found.blocks.slice(0, found.heads).includes(id))) return undefined;
  const faded = sources.map((place) => {
    const known = telling.known(place[0]);
    return known && signalsOf(telling, known, place[1])[0];
  });
  const [a, b] = faded;
  if (!a || !b) return undefined;
  const source = telling.known(a[0]);
  const blocks = [sum, ...amplifiers, a[0], b[0]];
  const own = `${telling.name(sum)}, a cross-fade between`;
  if (a[0] === b[0] && source && hasJob(source, 'cycle', 'tone')) {
    const speed = speedWords(telling, source, a);
    const waves = `the ${outputTitle(telling, a)} and the ${outputTitle(telling, b)} of ${telling.name(a[0])}`;
    return { say: `${own} ${waves}${speed === '' ? '' : ` (${speed})`},`, blocks };
  }
  return { say: `${own} ${phraseOf(telling, a, DEEPEST).say} and ${phraseOf(telling, b, DEEPEST).say},`, blocks };
}

/** What a block that hands on does to what it gets. */
function changedBy(telling: Telling, known: KnownBlock): string {
  const name = telling.name(known.block.id);
  if (hasJob(known, 'smooth')) return ` slowed down by ${name}`;
  if (hasJob(known, 'quantize')) return ` rounded to notes by ${name}`;
  if (hasJob(known, 'scale') && scaleOf(known) < 0) return ` turned upside down by ${name}`;
  return ` through ${name}`;
}

function scaleOf({ block, spec }: KnownBlock): number {
  const level = Object.values(spec.flows?.[0]?.levels ?? {})[0];
  const setting = level === undefined ? undefined : findSetting(spec, level);
  return setting ? Number(settingValue(block, setting)) : 1;
}

/** What is patched to the signal inputs that flow to an output and are not turned down. */
function signalsOf(telling: Telling, known: KnownBlock, output: string): readonly Place[] {
  const places = (known.spec.flows ?? [])
    .filter((flow) => flow.to.includes(output))
    .flatMap((flow) =>
      flow.from.flatMap((input) => {
        const from = sourceOf(telling.wired, known.block.id, input);
        const level = flow.levels?.[input];
        if (!from || !isSignal(known, input) || (level !== undefined && restsAtZero(telling.wired, known, level))) return [];
        return [from];
      }),
    );
  return [...new Map(places.map((place) => [placeName(place), place])).values()];
}

/** Do its voltages come by lot? A sample and hold draws lots only while it hears noise or other random voltages. */
export function isByLot(telling: Telling, known: KnownBlock): boolean {
  if (!hasJob(known, 'random')) return false;
  const inputs = known.spec.inputs.filter(({ id }) => isSignal(known, id));
  if (inputs.length === 0) return true;
  return inputs.some(({ id, normalSay }) => {
    const arrivals = telling.arrivals([known.block.id, id], ['gain']);
    if (arrivals.length === 0) return normalSay !== undefined;
    return arrivals.some(({ from }) => {
      const source = telling.known(from[0]);
      return source !== undefined && hasJob(source, 'noise', 'random') && source.block.id !== known.block.id;
    });
  });
}
