/** Sentences: chance, hands, loops, and what makes no difference. */
import { DEFAULT_SEED, placeName } from '../../patch/document.ts';
import { createGraph, loops, reachableTo } from '../../patch/reach.ts';
import { findSetting } from '../../patch/settings.ts';
import { formatValue, lowerFirst } from '../../patch/values/index.ts';
import { byId, compareIds, hasJob } from '../constructions/reading.ts';
import { whySilent } from '../silence.ts';
import { isByLot } from './sources.ts';
import { type Sentence, sentence, type Telling } from './telling.ts';
import { countWord, list, secondsText } from './words.ts';

/** Nothing is heard, and why as far as the drawing tells: the first thing to know. */
export function tellSilence(telling: Telling): readonly Sentence[] {
  const { heard, wired, catalogue } = telling;
  if (!heard || wired.blocks.size === 0 || [heard.left, heard.right].some((side) => side.some((sample) => Math.abs(sample) > 1e-5)))
    return [];
  // The checks go by the order of the document; a description does not.
  const { blocks, cables } = wired.patch;
  const sorted = {
    ...wired.patch,
    blocks: [...blocks].sort((a, b) => compareIds(a.id, b.id)),
    cables: [...cables].sort((a, b) => compareIds(placeName(a.to), placeName(b.to))),
  };
  const [reason] = whySilent(sorted, catalogue);
  const why = reason ? `: ${reason.say.replace(/\.$/, '')}` : ', as far as the take shows';
  return [sentence('sound', `Nothing is heard${why}`, reason?.block === undefined ? [] : [reason.block])];
}

export function tellChance(telling: Telling): readonly Sentence[] {
  const seed = telling.wired.patch.seed ?? DEFAULT_SEED;
  const lots = [...telling.wired.blocks.values()]
    .sort(byId)
    .filter((known) => hasJob(known, 'lot') || (isByLot(telling, known) && isRead(telling, known.block.id)));
  if (lots.length === 0) return [];
  const names = list(lots.map(({ block }) => telling.name(block.id)));
  const say = `${names} ${lots.length === 1 ? 'draws' : 'draw'} by lot; the seed of the patch (${seed}) makes every take the same`;
  return [
    sentence(
      'chance',
      say,
      lots.map(({ block }) => block.id),
    ),
  ];
}

function isRead({ wired }: Telling, block: string): boolean {
  return (wired.blocks.get(block)?.spec.outputs ?? []).some(({ id }) => wired.from.has(`${block}.${id}`));
}

export function tellHands(telling: Telling): readonly Sentence[] {
  const told: Sentence[] = [];
  const moved = [...(telling.wired.patch.moves ?? [])].sort((a, b) => compareIds(`${a.block}.${a.setting}`, `${b.block}.${b.setting}`));
  const names = moved.flatMap(({ block, setting, points }) => {
    const known = telling.known(block);
    const spec = known && findSetting(known.spec, setting);
    const [first, last] = [points[0], points.at(-1)];
    if (!known || spec?.type !== 'number' || !first || !last || points.length < 2) return [];
    const from = `from ${formatValue(first[1], spec)} to ${formatValue(last[1], spec)}`;
    const via =
      points.length > 2 ? `through ${countWord(points.length)} points` : `within ${secondsText(Math.max(0.001, last[0] - first[0]))}`;
    return [`${lowerFirst(spec.title)} of ${telling.name(block)} (${from} ${via})`];
  });
  if (names.length > 0)
    told.push(
      sentence(
        'hand',
        `A hand moves the ${list(names, 4)}`,
        moved.map(({ block }) => block),
      ),
    );
  const pressed = [...telling.wired.blocks.values()].sort(byId).filter(({ spec, block }) => spec.pressed && isRead(telling, block.id));
  if (pressed.length > 0) {
    const blocks = pressed.map(({ block }) => block.id);
    told.push(
      sentence(
        'hand',
        `${list(blocks.map(telling.name))} ${blocks.length === 1 ? 'waits' : 'wait'} for a finger and ${blocks.length === 1 ? 'does' : 'do'} nothing in a take`,
        blocks,
      ),
    );
  }
  return told;
}

export function tellLoops(telling: Telling): readonly Sentence[] {
  const { patch } = telling.wired;
  const rings = loops(createGraph({ blocks: patch.blocks.filter(({ id }) => telling.wired.blocks.has(id)), cables: patch.cables }))
    .map((ring) => [...ring].sort(compareIds))
    .sort((a, b) => compareIds(a[0] ?? '', b[0] ?? ''));
  if (rings.length === 0) return [];
  const names = rings.map((ring) => list(ring.map(telling.name), 4));
  const say =
    rings.length > 2
      ? `${countWord(rings.length)} loops of cables lead back to where they began`
      : `${names.map((each) => (each.includes(' and ') ? `${each} form a loop` : `${each} feeds itself`)).join(', and ')}: one of its cables arrives one engine frame late`;
  return [
    sentence(
      'rest',
      rings.length === 2 ? say.replace('one of its cables arrives', 'in each of them one cable arrives') : say,
      rings.flat(),
    ),
  ];
}

/** Blocks that lead nowhere. */
export function tellUnheard(telling: Telling): readonly Sentence[] {
  const { wired } = telling;
  const blocks = [...wired.blocks.values()].sort(byId);
  const outlets = blocks.filter(({ spec }) => spec.bus).map(({ block }) => block.id);
  const cables = [...wired.into.values()];
  const reached = reachableTo(createGraph({ blocks: blocks.map(({ block }) => block), cables }), outlets);
  const idle = blocks.map(({ block }) => block.id).filter((id) => !reached.has(id));
  if (idle.length === 0 || outlets.length === 0) return [];
  const say = `${list(idle.map(telling.name))} ${idle.length === 1 ? 'leads' : 'lead'} to no output and ${idle.length === 1 ? 'makes' : 'make'} no difference to what is heard`;
  return [sentence('rest', say, idle)];
}

export function tellFaults(telling: Telling): readonly Sentence[] {
  const faults = [...(telling.heard?.faults ?? [])].sort(compareIds);
  if (faults.length === 0) return [];
  return [
    sentence(
      'rest',
      `${list(faults.map(telling.name))} gave numbers that are no voltages and ${faults.length === 1 ? 'was' : 'were'} muted`,
      faults,
    ),
  ];
}
