/** Gates and triggers in a take: whether what waits for an edge gets one. */
import { type Place, placeName } from '../../patch/document.ts';
import { moves } from '../tally.ts';
import { sourceOf } from '../wired.ts';
import type { HeardPatch } from './heardPatch.ts';
import { blocksOf, gateConnections, inputName, isAnyUsed, numberOf, outputName, outputSpec, plain } from './look.ts';
import type { Found, TakeRule } from './rule.ts';

/** Many instruments miss shorter gates (common practice, no source). A trigger of ours is 1 ms long. */
const SHORT_SECONDS = 0.0009;
/** Edges per second: faster than any clock (24 per beat at 400 bpm are 160), a tone more than a rhythm (our choice). */
const TONE_HERTZ = 200;
/** A voltage that is high for more of the time than this never lets go (our choice). */
const ALWAYS = 0.98;

/** Cables into gate inputs with the figures of what they carry; each source once where `each` is left out. */
function gates(take: HeardPatch) {
  return gateConnections(take.wired).flatMap((connection) => {
    const figures = take.figures(connection.source);
    return figures ? [{ ...connection, figures }] : [];
  });
}

export const gateRules: readonly TakeRule[] = [
  {
    id: 'gate-too-low',
    severity: 'warning',
    kind: 'take',
    about: 'A gate input sees a voltage that moves and never reaches the 1.5 V of an edge.',
    howToFix: 'Give it more level or an offset, or put a comparator between.',
    check: (take) =>
      gates(take).flatMap(({ known, input, source, figures }) =>
        figures.rises === 0 && moves(figures)
          ? {
              block: known.block.id,
              place: [known.block.id, input.id] as const,
              say: `${outputName(take.wired, source)} reaches ${plain(figures.most)} V and ${inputName({ known, input })} waits for 1.5 V, so it never acts.`,
            }
          : [],
      ),
  },
  {
    id: 'gate-never-falls',
    severity: 'hint',
    kind: 'take',
    about: 'A gate input sees a voltage that moves but stays above 1 V, so that it acts once at most.',
    howToFix: 'Take the offset away, or put a comparator between.',
    check: (take) =>
      gates(take).flatMap(({ known, input, source, figures }) =>
        figures.rises === 1 && moves(figures) && figures.highShare > ALWAYS
          ? {
              block: known.block.id,
              place: [known.block.id, input.id] as const,
              say: `${outputName(take.wired, source)} never falls below 1 V, so ${inputName({ known, input })} sees no second edge.`,
            }
          : [],
      ),
  },
  {
    id: 'never-fires',
    severity: 'hint',
    kind: 'take',
    about: 'A gate output that is patched stays low for the whole take, though its block is clocked.',
    howToFix: 'Make the take longer or the clock faster, or take a faster output.',
    check: (take) => {
      const named = new Set<string>();
      return gates(take).flatMap(({ source, figures }): Found[] => {
        const known = take.wired.blocks.get(source[0]);
        const name = placeName(source);
        if (!known || named.has(name) || figures.rises > 0 || moves(figures)) return [];
        if (outputSpec(take.wired, source)?.kind !== 'gate') return [];
        const clocked = known.spec.inputs.some((input) => {
          const clock = input.kind === 'gate' ? sourceOf(take.wired, known.block.id, input.id) : undefined;
          return clock !== undefined && (take.figures(clock)?.rises ?? 0) > 0;
        });
        if (!clocked) return [];
        named.add(name);
        return [
          {
            block: known.block.id,
            say: `${outputName(take.wired, source)} does not fire once in the ${plain(take.seconds)} s of the take.`,
          },
        ];
      });
    },
  },
  {
    id: 'gate-too-short',
    severity: 'hint',
    kind: 'take',
    about: 'Gates shorter than 1 ms on average: many instruments miss them (common practice, no source).',
    howToFix: 'Make them longer, for instance with a gate delay.',
    check: (take) => {
      const named = new Set<string>();
      return gates(take).flatMap(({ source, figures }): Found[] => {
        const length = figures.rises === 0 ? 1 : (figures.highShare * take.seconds) / figures.rises;
        if (figures.rises < 2 || length >= SHORT_SECONDS || named.has(placeName(source))) return [];
        named.add(placeName(source));
        const say = `The gates from ${outputName(take.wired, source)} last ${plain(1000 * length)} ms: hardware may miss what is shorter than 1 ms.`;
        return [{ block: source[0], say }];
      });
    },
  },
  {
    id: 'gate-at-audio-rate',
    severity: 'hint',
    kind: 'take',
    about:
      'A gate input sees more than 200 edges a second (our choice). Blocks that hold a voltage are left out: there it is a sound of its own.',
    howToFix: 'Feed it from a clock, or divide what feeds it.',
    check: (take) =>
      gates(take).flatMap(({ known, input, source, figures }) => {
        const hertz = figures.rises / take.seconds;
        return hertz > TONE_HERTZ && !known.spec.holds
          ? {
              block: known.block.id,
              place: [known.block.id, input.id] as const,
              say: `${inputName({ known, input })} sees ${plain(hertz)} edges a second from ${outputName(take.wired, source)}: that is a tone more than a rhythm.`,
            }
          : [];
      }),
  },
  {
    id: 'row-not-reached',
    severity: 'hint',
    kind: 'take',
    about: 'A row of steps has more steps than it gets clocks in the take.',
    howToFix: 'Make the take longer, the clock faster or the row shorter.',
    check: (take) =>
      blocksOf(take.wired).flatMap((known) => {
        const { row } = known.spec;
        const clock = row && sourceOf(take.wired, known.block.id, row.clock);
        const rises = clock ? (take.figures(clock)?.rises ?? 0) : 0;
        if (!row || rises === 0 || rises >= numberOf(known, row.length) || !isAnyUsed(take.wired, known)) return [];
        const say = `The take reaches ${rises} of the ${numberOf(known, row.length)} steps of ${known.label}.`;
        return [{ block: known.block.id, say }];
      }),
  },
];

/** Frames on which a voltage rises as a gate does. */
export function risesOf(samples: Float32Array): number[] {
  const found: number[] = [];
  let high = false;
  for (let i = 0; i < samples.length; i++) {
    const volts = samples[i] as number;
    if (high) high = volts >= 1;
    else if (volts >= 1.5) {
      high = true;
      found.push(i);
    }
  }
  return found;
}

/** Where the edges come from that start a block. */
export function startsOf({ wired }: Pick<HeardPatch, 'wired'>, block: string, inputs: readonly string[]): Place[] {
  return inputs.map((input) => sourceOf(wired, block, input)).filter((place) => place !== undefined);
}
