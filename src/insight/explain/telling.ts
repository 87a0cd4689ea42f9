/** What the sections of a description share. */
import type { Place } from '../../patch/document.ts';
import type { Job } from '../../patch/roles.ts';
import { settingValue } from '../../patch/settings.ts';
import { formatValue, keySettingsLine, lowerFirst } from '../../patch/values/index.ts';
import type { Found } from '../constructions/find.ts';
import { hasJob, type Reading } from '../constructions/reading.ts';
import type { KnownBlock } from '../wired.ts';
import type { Topic } from './topics.ts';
import { plainLabel } from './words.ts';

export interface Sentence {
  readonly about: Topic;
  readonly say: string;
  /** The blocks it speaks of. */
  readonly blocks: readonly string[];
  /** The cables it speaks of, by the input they end in. */
  readonly cables: readonly string[];
}

export interface Telling extends Reading {
  readonly found: readonly Found[];
  readonly seconds: number;
  /** What a block is called in a sentence. */
  name(block: string): string;
  known(block: string): KnownBlock | undefined;
}

export function createTelling(reading: Reading, found: readonly Found[], seconds: number): Telling {
  const names = new Map([...reading.wired.blocks].map(([id, { label }]) => [id, plainLabel(label)]));
  return { ...reading, found, seconds, name: (block) => names.get(block) ?? block, known: (block) => reading.wired.blocks.get(block) };
}

/** Words of ours that a sentence may begin with; a label stays as it was written. */
const ours = /^(?:the|an?|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve) /;

export function sentence(about: Topic, say: string, blocks: Iterable<string>, cables: Iterable<string> = []): Sentence {
  const begun = ours.test(say) ? `${say.charAt(0).toUpperCase()}${say.slice(1)}` : say;
  return { about, say: `${begun}.`, blocks: [...new Set(blocks)], cables: [...new Set(cables)] };
}

/** Is the block of this id one of these? */
export function isA({ wired }: Reading, block: string, ...jobs: readonly Job[]): boolean {
  const known = wired.blocks.get(block);
  return known !== undefined && hasJob(known, ...jobs);
}

/** An output's title within a sentence: "triangle". */
export function outputTitle({ wired }: Reading, [block, output]: Place): string {
  const spec = wired.blocks.get(block)?.spec;
  return lowerFirst(spec?.outputs.find(({ id }) => id === output)?.title ?? output);
}

/** The value of a setting as it is shown: "640 Hz". */
export function shownSetting(known: KnownBlock, id: string): string | undefined {
  const setting = known.spec.settings.find((one) => one.id === id);
  return setting && formatValue(settingValue(known.block, setting), setting);
}

export function keyLine({ block, spec }: KnownBlock): string {
  return keySettingsLine(block, spec);
}

/** Sentences up to a number of them; what is left out is counted in one more. */
export function atMost(most: number, all: readonly Sentence[], rest: (count: number) => string): readonly Sentence[] {
  if (all.length <= most) return all;
  const left = all.slice(most - 1);
  const [first] = left;
  return [
    ...all.slice(0, most - 1),
    sentence(
      first?.about ?? 'rest',
      rest(left.length),
      left.flatMap(({ blocks }) => blocks),
      left.flatMap(({ cables }) => cables),
    ),
  ];
}
