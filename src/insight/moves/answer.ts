/** The answer to "What moves this?": plain data, see README.md for its words. */
import type { Unit } from '../../patch/blockSpec.ts';
import type { Source, Way } from './cone.ts';
import type { Movement } from './movement.ts';
import type { Range } from './range.ts';

export interface Target {
  readonly block: string;
  /** Id of the input or the setting. */
  readonly port: string;
  readonly side: 'input' | 'setting';
  readonly title: string;
  /** Of the block. */
  readonly label: string;
}

export type Told = Source & Way;

export interface Mover extends Told {
  /** Part of the movement, 0..1; all together are 1. */
  readonly share: number;
  readonly method: 'exact' | 'silenced';
  /** What remains of the movement's RMS without it, as a factor. */
  readonly left: number;
  /** What is missing without it. */
  readonly movement: Movement;
}

export interface Driver extends Told {
  /** Keys of the movers that it acts on. */
  readonly drives: readonly string[];
  readonly left: number;
}

export interface Idle extends Told {
  readonly why: 'still' | 'no effect';
}

export interface MovesFacts {
  readonly target: Target;
  /** Of all movements: volts at an input; for a setting what is added to it, or octaves. */
  readonly unit: Unit;
  /** Seconds that were heard, and those that were asked for. */
  readonly seconds: number;
  readonly wanted: number;
  readonly renderings: number;
  readonly total: Movement;
  readonly rest: Movement;
  /** What shares and rest do not add up to. */
  readonly together: Movement;
  /** By share, the greatest first. */
  readonly movers: readonly Mover[];
  /** By effect, the greatest first. */
  readonly drivers: readonly Driver[];
  /** Reach the place and never change it. */
  readonly idle: readonly Idle[];
  /** Of the setting that is moved; undefined where the input moves none. */
  readonly range: Range | undefined;
  /** How often it rises as a gate does; undefined where the input is none. */
  readonly rises: number | undefined;
}

export interface MovesAnswer extends MovesFacts {
  /** Sentences. */
  readonly say: readonly string[];
}
