/** Four-quadrant multiplier, coupled for direct voltage: out = x y / 5 within the rails, so that 5 V are the factor 1. */
import { hold, isHeld, RAIL, rail, read, vary, write } from '../../dsp/block';
import { RingmodPorts } from '../layouts.gen';

/** Volts that count as the factor 1. */
const UNIT: f32 = 5;

@unmanaged
export class Ringmod extends RingmodPorts {}

export function update(block: Ringmod): void {}

/** The added 0 turns -0 into 0. */
// @ts-ignore: decorator
@inline
function product(x: f32, y: f32): f32 {
  return rail((x * y) / UNIT + 0);
}

/** [audio thread] */
export function process(block: Ringmod, from: i32, to: i32): void {
  const out = block.outputOut;
  if (out == 0) return;
  const x = block.inputX;
  const y = block.inputY;
  const heldX = isHeld(x, to);
  const heldY = isHeld(y, to);
  if ((heldX && heldY) || (heldX && read(x, from) == 0) || (heldY && read(y, from) == 0)) {
    hold(out, from, to, product(read(x, from), read(y, from)));
    return;
  }
  vary(out, from);
  const unit = f32x4.splat(UNIT);
  const zero = f32x4.splat(0);
  const top = f32x4.splat(RAIL);
  const bottom = f32x4.splat(-RAIL);
  let i = from;
  for (; i + 4 <= to; i += 4) {
    const at = (<usize>i) << 2;
    const v = f32x4.add(f32x4.div(f32x4.mul(v128.load(x + at), v128.load(y + at)), unit), zero);
    v128.store(out + at, f32x4.min(f32x4.max(v, bottom), top));
  }
  for (; i < to; i++) write(out, i, product(read(x, i), read(y, i)));
}
