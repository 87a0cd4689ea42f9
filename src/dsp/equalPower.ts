/**
 * The equal-power law for kernels (AssemblyScript): gains cos and sin of a quarter turn, whose squares add up to 1
 * (W3C Web Audio API, StereoPannerNode and the equalpower panning model). The ends are exactly 1 and 0.
 */
import { sinePair } from './sine';

/** cos(x pi / 2) in lane 0 and sin(x pi / 2) in lane 1 (f64), x in 0..1. */
// @ts-ignore: decorator
@inline
export function equalPower(x: f64): v128 {
  return sinePair(f64x2.mul(f64x2.replace_lane(f64x2.splat(1 - x), 1, x), f64x2.splat(0.25)));
}
