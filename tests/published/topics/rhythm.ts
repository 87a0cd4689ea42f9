import type { BlockSpec } from '../../../src/patch/blockSpec.ts';
import { clockSignal, rises } from '../../support/edges.ts';
import { runKernel } from '../../support/runKernel.ts';
import { blockSpec, type Check, ofBlock, once, type Topic } from '../check.ts';
import { works } from '../sources.ts';

const INTERVAL = 100;

interface NamedRhythm {
  readonly hits: number;
  readonly steps: number;
  /** Steps from each onset to the next. */
  readonly spans: readonly number[];
  readonly known: string;
}

/** The lists of the paper: hits, steps, steps between onsets, where the rhythm is known. */
const rhythms: readonly NamedRhythm[] = (
  [
    [2, 3, '21', 'West Africa, Latin America'],
    [2, 5, '23', 'classical, jazz, and Persian'],
    [3, 4, '211', 'Trinidad, Persia'],
    [3, 5, '221', 'Rumanian and Persian necklaces'],
    [3, 7, '223', 'Bulgarian folk'],
    [3, 8, '332', 'West Africa'],
    [4, 7, '2221', 'Bulgaria'],
    [4, 9, '2223', 'Turkey'],
    [4, 11, '3332', 'twentieth century'],
    [5, 6, '21111', 'Arab'],
    [5, 7, '21211', 'Arab'],
    [5, 8, '21212', 'West Africa'],
    [5, 9, '22221', 'Arab, South African and Rumanian necklaces'],
    [5, 11, '22223', 'classical'],
    [5, 12, '32322', 'South Africa'],
    [5, 16, '33334', 'Brazilian necklace'],
    [7, 8, '2111111', 'Tuareg rhythm of Libya'],
    [7, 12, '2122122', 'West Africa'],
    [7, 16, '3223222', 'Brazilian necklace'],
    [9, 16, '212221222', 'West and Central African, and Brazilian necklaces'],
    [11, 24, '32222322222', 'Central Africa'],
    [13, 24, '2122222122222', 'Central African necklace'],
  ] as const
).map(([hits, steps, spans, known]) => ({ hits, steps, spans: Array.from(spans, Number), known }));

/** Steps that are struck, as published: the first step, then span by span. */
function onsets({ spans }: NamedRhythm): number[] {
  let step = 0;
  return spans.map((span) => {
    step += span;
    return step - span;
  });
}

export interface PlayedRhythm extends NamedRhythm {
  readonly published: readonly number[];
  readonly played: readonly number[];
}

/** Every rhythm as the block plays it; none while there is no such block. */
export const playedRhythms = once(async (): Promise<readonly PlayedRhythm[]> => {
  const spec = blockSpec('euclidean');
  const played: PlayedRhythm[] = [];
  for (const rhythm of spec ? rhythms : []) {
    const { hits, steps } = rhythm;
    const inputs = { clock: clockSignal(INTERVAL, 0, 20) };
    const { trigger } = await runKernel(spec as BlockSpec, {
      frames: steps * INTERVAL,
      settings: { hits, steps },
      inputs,
      outputs: ['trigger'],
    });
    played.push({ ...rhythm, published: onsets(rhythm), played: rises(trigger as Float32Array).map((frame) => frame / INTERVAL) });
  }
  return played;
});

/** Steps on which only one of two rhythms strikes. */
function differences(a: readonly number[], b: readonly number[]): number {
  return a.filter((step) => !b.includes(step)).length + b.filter((step) => !a.includes(step)).length;
}

export const rhythm: Topic = {
  id: 'rhythm',
  title: 'Rhythm',
  say: 'Rhythms known around the world that come out of the Euclidean algorithm, step by step from the first clock.',
  glance: ([differing = []]) => `${differing.filter((steps) => steps === 0).length} of ${rhythms.length} named rhythms`,
  checks: ofBlock('euclidean', (spec): readonly Check[] => [
    {
      block: spec.type,
      title: 'plays the named rhythms without rotation',
      source: works.toussaint,
      unit: 'steps that differ',
      rows: rhythms.map(({ hits, steps, known }) => ({ name: `E(${hits},${steps}) ${known}`, published: 0, within: 0 })),
      measure: async () => (await playedRhythms()).map(({ published, played }) => differences(published, played)),
    },
  ]),
};
