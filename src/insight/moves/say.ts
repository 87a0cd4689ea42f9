/** The answer in sentences. */
import { STILL_VOLTS } from '../tally.ts';
import { inputSpec, type Wired } from '../wired.ts';
import type { Idle, MovesFacts } from './answer.ts';
import { inputCable } from './cone.ts';
import { AUDIO_RATE_HERTZ } from './movement.ts';
import { percentTexts } from './percent.ts';

export function sayMoves(facts: MovesFacts, wired: Wired): string[] {
  return [howFar(facts, wired), ...whose(facts), ...how(facts), ...driven(facts), ...never(facts, wired), ...heardFor(facts)];
}

/** "1, 2 and 3". */
export function listed(words: readonly string[]): string {
  return words.length <= 1 ? (words[0] ?? '') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;
}

/** Three digits; less than a tenth of a millivolt is none. */
const plain = (value: number): string => (Math.abs(value) < STILL_VOLTS ? '0' : Number(value.toPrecision(3)).toString());
const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
const percent = (share: number): string => (share > 0 && share < 0.005 ? 'less than 1 %' : `${Math.round(100 * share)} %`);

function isMoving({ total }: MovesFacts): boolean {
  return total.most - total.least > STILL_VOLTS;
}

function nameOf({ target: { title, label } }: MovesFacts): string {
  return `"${title}" of ${label}`;
}

function howFar(facts: MovesFacts, wired: Wired): string {
  const { total, range, unit, target } = facts;
  const name = nameOf(facts);
  if (!isMoving(facts)) return stays(facts, wired);
  const tone = total.hertz >= AUDIO_RATE_HERTZ ? ', at audio rate' : '';
  const volts = unit === 'V' && target.side === 'input' ? ` moves between ${plain(total.least)} and ${plain(total.most)} V${tone}` : '';
  if (!range) return `${capital(name)}${volts}${gateText(facts.rises)}.`;
  const span = range.leastText === range.mostText ? `at ${range.leastText}` : `between ${range.leastText} and ${range.mostText}`;
  const used = `${percent(range.used)} of its way`;
  const held = range.beyond > 0 ? `; for ${percent(range.beyond)} of the time it is held at the end of its range` : '';
  if (!range.alone) return `${capital(name)} moves ${span}, ${used}${tone}${held}.`;
  return `${capital(name)}${volts}; alone it moves "${range.setting}" ${span}, ${used}${held}.`;
}

function gateText(rises: number | undefined): string {
  if (rises === undefined) return '';
  return rises === 0 ? ' and never rises as a gate' : ` and rises ${rises === 1 ? 'once' : `${rises} times`} as a gate`;
}

function stays(facts: MovesFacts, wired: Wired): string {
  const { target, total, range } = facts;
  const name = capital(nameOf(facts));
  const reached = facts.movers.length + facts.idle.length > 0;
  const spec = wired.blocks.get(target.block)?.spec;
  const input = target.side === 'input' && spec ? inputSpec(spec, target.port) : undefined;
  const own = input?.normalSay !== undefined && !inputCable(wired, [target.block, target.port]);
  const where = own ? (input?.normalSay ?? '') : range && !range.alone ? range.leastText : `${plain(total.mean)} V`;
  if (!reached) {
    const cable = target.side === 'input' ? 'no cable runs to it' : 'no cable and no hand moves it';
    return own
      ? `Nothing moves ${nameOf(facts)}: ${cable}, so it reads what it has of its own (${where}).`
      : `Nothing moves ${nameOf(facts)}: ${cable}, so it stays at ${where}.`;
  }
  return `${name} stands still at ${where}: what reaches it does not move it.`;
}

function whose(facts: MovesFacts): string[] {
  const { movers } = facts;
  const [first] = movers;
  if (!first || !isMoving(facts)) return [];
  if (movers.length === 1) return [`All of it comes from ${first.label}.`];
  const [lead, ...others] = percentTexts(movers.map(({ share }) => share)).map(
    (share, i) => `${share}${i === 0 ? ' of it comes' : ''} from ${movers[i]?.label}`,
  );
  return [`${capital(lead ?? '')}, ${listed(others)}.`];
}

/** How the shares were found, and what they leave. */
function how(facts: MovesFacts): string[] {
  const { movers, together, total } = facts;
  if (movers.length === 0) return [];
  const sentences: string[] = [];
  const needed = movers.filter(({ left }) => left < 0.01).map(({ label }) => label);
  if (movers.length > 1 && needed.length > 1)
    sentences.push(`It takes ${listed(needed)} together: without any one of them it stands still.`);
  if (movers.length > 1) {
    const exact = movers.filter(({ method }) => method === 'exact');
    if (exact.length === movers.length) sentences.push('The way is linear, so the shares are exact and add up to the movement.');
    else {
      const gap = total.rms === 0 ? 0 : together.rms / total.rms;
      const some =
        exact.length > 0
          ? ` ${exact.length === 1 ? 'That' : 'Those'} of ${listed(exact.map(({ label }) => label))} ${exact.length === 1 ? 'is' : 'are'} exact.`
          : '';
      const apart =
        gap >= 0.005
          ? `; because sources act on each other, ${percent(Math.min(1, gap))} of the movement belongs to none of them alone`
          : '';
      sentences.push(`The shares are what was missing when each source was silenced in turn${apart}.${some}`);
    }
  }
  if (facts.rest.most - facts.rest.least > STILL_VOLTS) {
    sentences.push('With all of them silenced it still moves: a block on the way moves by itself.');
  }
  const fast = movers.filter(({ movement }) => movement.hertz >= AUDIO_RATE_HERTZ).map(({ label }) => label);
  if (fast.length > 0 && fast.length < movers.length)
    sentences.push(`${capital(listed(fast))} ${fast.length === 1 ? 'moves' : 'move'} it at audio rate.`);
  return sentences;
}

function driven({ movers, drivers }: MovesFacts): string[] {
  return movers.flatMap(({ key, label }) => {
    const by = drivers.filter(({ drives }) => drives.includes(key)).map((driver) => driver.label);
    return by.length > 0 ? [`${capital(label)} is driven by ${listed(by)}.`] : [];
  });
}

function never({ idle }: MovesFacts, wired: Wired): string[] {
  const specOf = (block: string) => wired.blocks.get(block)?.spec;
  const still = idle.filter(({ why }) => why === 'still');
  // What only a person moves does nothing in a take.
  const live = still.filter(({ block, setting }) => setting === undefined && specOf(block)?.liveInput);
  const pressed = still.filter(({ block, setting }) => setting === undefined && specOf(block)?.pressed);
  const others = still.filter((source) => !live.includes(source) && !pressed.includes(source));
  const idling = idle.filter(({ why }) => why === 'no effect');
  return [
    ...sayOf(live, 'brings nothing in a take', 'bring nothing in a take'),
    ...sayOf(pressed, 'is not pressed in a take', 'are not pressed in a take'),
    ...sayOf(others, 'reaches it and stands still', 'reach it and stand still'),
    ...sayOf(idling, 'reaches it, but changes nothing there', 'reach it, but change nothing there'),
  ];
}

function sayOf(sources: readonly Idle[], one: string, many: string): string[] {
  if (sources.length === 0) return [];
  return [`${capital(listed(sources.map(({ label }) => label)))} ${sources.length === 1 ? one : many}.`];
}

function heardFor({ seconds, wanted }: MovesFacts): string[] {
  return seconds < wanted ? [`Heard for the first ${plain(seconds)} of ${plain(wanted)} s.`] : [];
}
