/** What a patch does, in plain sentences made from its drawing and a take, with the constructions that it holds. */
import type { Catalogue } from '../../patch/blockSpec.ts';
import { DEFAULT_SECONDS, type Patch } from '../../patch/document.ts';
import { findConstructions } from '../constructions/find.ts';
import { createReading } from '../constructions/reading.ts';
import type { Heard, Hearing } from '../heard.ts';
import { createSoundPath } from './soundPath.ts';
import { createTelling, type Sentence } from './telling.ts';
import { tellMovement } from './tellMovement.ts';
import { tellPitch } from './tellPitch.ts';
import { tellChance, tellFaults, tellHands, tellLoops, tellSilence, tellUnheard } from './tellRest.ts';
import { tellRhythm } from './tellRhythm.ts';
import { tellSound, tellWay } from './tellSound.ts';
import { topics } from './topics.ts';
import { list } from './words.ts';

/** A construction of the trade, found in the patch. */
export interface ExplainedConstruction {
  readonly id: string;
  readonly name: string;
  /** The blocks it is named by, by their labels. */
  readonly where: string;
  /** What it does and why it sounds so. */
  readonly say: string;
  readonly tryOut: string;
  readonly blocks: readonly string[];
  /** By the input they end in. */
  readonly cables: readonly string[];
  /** Decided by a rule of thumb. */
  readonly heuristic: boolean;
}

export interface Explanation {
  /** Seconds that were listened to. */
  readonly seconds: number;
  /** By topic, in the order of a description. */
  readonly sentences: readonly Sentence[];
  readonly constructions: readonly ExplainedConstruction[];
}

/** Without a take, what needs measuring is left out or judged by the settings. */
export function explainPatch(patch: Patch, catalogue: Catalogue, heard?: Heard): Explanation {
  const reading = createReading(patch, catalogue, heard);
  const found = findConstructions(reading);
  const seconds = heard ? heard.frames / heard.rate : (patch.seconds ?? DEFAULT_SECONDS);
  const telling = createTelling(reading, found, seconds);
  const path = createSoundPath(telling);
  const sentences: readonly Sentence[] = [
    ...tellSilence(telling),
    ...tellSound(telling, path),
    ...tellWay(telling, path),
    ...tellPitch(telling),
    ...tellRhythm(telling),
    ...tellMovement(telling, path),
    ...tellChance(telling),
    ...tellHands(telling),
    ...tellLoops(telling),
    ...tellFaults(telling),
    ...tellUnheard(telling),
  ];
  return {
    seconds,
    sentences: topics.flatMap((topic) => sentences.filter(({ about }) => about === topic)),
    constructions: found.map(({ construction: { id, name, say, tryOut, heuristic = false }, blocks, heads, cables }) => ({
      id,
      name,
      where: list(blocks.slice(0, heads).map(telling.name), 4),
      say,
      tryOut,
      blocks,
      cables,
      heuristic,
    })),
  };
}

/** The question as page and command line ask it. */
export function explain(hearing: Hearing, patch: Patch, { seconds }: { readonly seconds?: number }): Explanation {
  return explainPatch(patch, hearing.catalogue, hearing.hear(patch, seconds === undefined ? {} : { seconds }));
}
