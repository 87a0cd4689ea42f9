/** A construction of the trade: a handful of blocks that do together what none does alone. */
import type { Pattern } from './pattern.ts';
import type { Reading } from './reading.ts';

/** Part of a patch that is an instance of a construction. */
export interface Part {
  /** Block ids, those first that the construction is named by. */
  readonly blocks: readonly string[];
  /** How many of the blocks, from the first, name it. */
  readonly heads: number;
  /** Cables by the input they end in. */
  readonly cables: readonly string[];
}

export interface Construction {
  readonly id: string;
  /** The trade's own word for it. */
  readonly name: string;
  /** What it does and why it sounds so, in one sentence. */
  readonly say: string;
  /** What to try with it. */
  readonly tryOut: string;
  /** Names of the pattern's blocks that make two matches one find; the parts are then put together. Left out: all blocks. */
  readonly heads?: readonly string[];
  /** Any of these. */
  readonly patterns?: readonly Pattern[];
  /** For what no list of blocks and cables can say: rings of any size. */
  readonly find?: (reading: Reading) => readonly Part[];
  /** Is not named where all of its heads belong to a find of one of these: they say more. */
  readonly within?: readonly string[];
  /** Decided by figures that somebody chose (from how many Hz on a tremolo is none): a rule of thumb. */
  readonly heuristic?: boolean;
}
