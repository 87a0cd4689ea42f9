/**
 * Allpass sections that make many echoes of one and change no level (M. R. Schroeder, "Natural sounding artificial reverberation",
 * JAES 10, 1962), up to four frames at a time (AssemblyScript).
 *   v = x + g v(t - T),  y = v(t - T) - g v
 * Each section's memory is a ring of `span` frames (a multiple of 4) and its first four frames again behind the end.
 */

/** Coefficient of all sections: an echo in a section falls by 60 dB in 16 rounds. */
const G: f32 = 0.65;
/** Smaller values are dropped, so that none turns denormal. */
const LEAST: f32 = 1e-15;

/**
 * One section over `count` (1..4) frames of `signal`, in place; `at` is the ring's present frame, from which a whole group does not
 * pass its end, and `delay` is 4..span - 4 frames. Answers whether anything is left in these frames of its memory.
 */
export function diffuse(signal: usize, count: i32, ring: usize, span: i32, at: i32, delay: i32): bool {
  let place = at - delay;
  if (place < 0) place += span;
  const from = ring + ((<usize>place) << 2);
  const to = ring + ((<usize>at) << 2);
  const end = to + ((<usize>span) << 2);
  if (count == 4) {
    const g = f32x4.splat(G);
    const old = v128.load(from);
    const sum = f32x4.add(v128.load(signal), f32x4.mul(g, old));
    const v = v128.and(sum, f32x4.gt(f32x4.abs(sum), f32x4.splat(LEAST)));
    v128.store(signal, f32x4.sub(old, f32x4.mul(g, v)));
    v128.store(to, v);
    if (at == 0) v128.store(end, v);
    return v128.any_true(v);
  }
  let any = false;
  for (let k = 0; k < count; k++) {
    const offset = (<usize>k) << 2;
    const old = load<f32>(from + offset);
    const sum = load<f32>(signal + offset) + G * old;
    const v = abs<f32>(sum) > LEAST ? sum : 0;
    store<f32>(signal + offset, old - G * v);
    store<f32>(to + offset, v);
    if (at + k < 4) store<f32>(end + offset, v);
    if (v != 0) any = true;
  }
  return any;
}
