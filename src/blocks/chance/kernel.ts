/** Chance gate: on each rising edge it decides by lot for side a or b, and that side is high while the input is. */
import { isPatched, read, sloped } from '../../dsp/block';
import { nextChange } from '../../dsp/edge';
import { putGate } from '../../dsp/pulse';
import { drawUnit, streamOf } from '../../dsp/random';
import { CHANCE_IN, ChancePorts } from '../layouts.gen';

/** A control voltage that is fully open. */
const OPEN: f64 = 8;

@unmanaged
export class Chance extends ChancePorts {
  lots: u64;

  high: i32;
  /** The last edge went to a. */
  toA: i32;
  /** Edges since the start, the number of the next draw. */
  draws: i64;
}

export function init(block: Chance): void {
  block.lots = streamOf(block.seed, 0);
}

export function update(block: Chance): void {}

function decide(block: Chance, frame: i32): void {
  const amount = sloped(block, block.settingChanceAmount, block.slopeChanceAmount, frame);
  const chance = sloped(block, block.settingChance, block.slopeChance, frame) + (amount * <f64>read(block.inputChanceCv, frame)) / OPEN;
  block.toA = drawUnit(block.lots, block.draws) < chance ? 1 : 0; // a draw is in 0..1: nothing to clamp
  block.draws += 1;
}

/** [audio thread] */
export function process(block: Chance, from: i32, to: i32): void {
  const patched = isPatched(block, CHANCE_IN);
  if (!patched) block.high = 0;
  let changeAt = patched ? nextChange(block.inputIn, from, to, block.high) : to;
  let i = from;
  while (i < to) {
    if (changeAt == i) {
      block.high ^= 1;
      if (block.high) decide(block, i);
      changeAt = nextChange(block.inputIn, i + 1, to, block.high);
    }
    putGate(block.outputA, i, changeAt, block.high != 0 && block.toA != 0);
    putGate(block.outputB, i, changeAt, block.high != 0 && block.toA == 0);
    i = changeAt;
  }
}
