/** Gains for kernels (AssemblyScript). */
import { exp2 } from './exp2';

/** log2(10) / 20 */
const OCTAVES_PER_DECIBEL: f64 = 0.16609640474436813;

/** Plain factor of a level in dB: 10^(dB / 20). */
// @ts-ignore: decorator
@inline
export function gainOf(decibels: f64): f64 {
  return exp2(decibels * OCTAVES_PER_DECIBEL);
}
