/**
 * What edges add beyond the frames of one call (AssemblyScript). During a call edges go into sums, four lines of SUM_BYTES; between
 * calls what is left stands in tails, four lines of TAIL_BYTES. Where frames are made one by one the edges go into the tails
 * themselves, from a place that moves on by one frame each time. Sums and tails are zero where nothing is in use.
 */
import { EDGE_FRAMES } from './bandLimitedEdge';
import { CHUNK } from './block';
import { EdgeSums } from './waveEdges';

export const SUM_BYTES: i32 = (CHUNK + EDGE_FRAMES + 4) * 4;
/** Frames by which a place may move on before the tails are shifted back. */
export const TAIL_SLACK: i32 = 16;
/** EDGE_FRAMES + TAIL_SLACK frames: 9 v128. */
export const TAIL_BYTES: i32 = 144;

/**
 * Gives each output that is read (a pointer in `outputs`, in the order of EdgeSums) its line from `lines` on, `bytes` apart, and says for
 * how many frames it is in use (`left`). The tails of others are forgotten.
 */
// @ts-ignore: decorator
@inline
export function connectSums(edges: EdgeSums, outputs: v128, left: v128, tails: usize, lines: usize, bytes: i32): void {
  const read = i32x4.ne(outputs, i32x4.splat(0));
  const places = i32x4.add(i32x4.splat(<i32>lines), i32x4.mul(i32x4.splat(bytes), i32x4(0, 1, 2, 3)));
  v128.store(changetype<usize>(edges), v128.and(places, read), offsetof<EdgeSums>('sine'));
  v128.store(changetype<usize>(edges), v128.and(left, read), offsetof<EdgeSums>('sineBusy'));
  if (!v128.any_true(v128.andnot(left, read))) return;
  for (let wave: usize = 0; wave < 4; wave++) {
    const line = load<usize>(changetype<usize>(edges) + (wave << 2), offsetof<EdgeSums>('sine'));
    if (line == 0) memory.fill(tails + wave * TAIL_BYTES, 0, TAIL_BYTES);
  }
}

// @ts-ignore: decorator
@inline
function busyBytes(edges: EdgeSums, wave: usize): usize {
  return (<usize>load<i32>(changetype<usize>(edges) + (wave << 2), offsetof<EdgeSums>('sineBusy'))) << 2;
}

/** Puts the tails, from `place` on in the first line, in front of the sums. */
export function openTails(edges: EdgeSums, place: usize, sums: usize): void {
  for (let wave: usize = 0; wave < 4; wave++) {
    const busy = busyBytes(edges, wave);
    for (let i: usize = 0; i < busy; i += 16) v128.store(sums + i, v128.load(place + i));
    sums += SUM_BYTES;
    place += TAIL_BYTES;
  }
}

/** Moves what the sums hold beyond `count` frames to the start of the tails. */
export function closeTails(edges: EdgeSums, tails: usize, sums: usize, count: i32): void {
  const end = (<usize>count) << 2;
  for (let wave: usize = 0; wave < 4; wave++) {
    const busy = busyBytes(edges, wave);
    if (busy != 0) {
      memory.fill(tails, 0, TAIL_BYTES);
      for (let i = end; i < busy; i += 16) v128.store(tails + i - end, v128.load(sums + i));
      for (let i: usize = 0; i < busy; i += 16) v128.store(sums + i, i64x2.splat(0));
    }
    sums += SUM_BYTES;
    tails += TAIL_BYTES;
  }
}

/** For how many frames the outputs' lines are in use after `count` frames. */
// @ts-ignore: decorator
@inline
export function leftAfter(edges: EdgeSums, count: i32): v128 {
  const busy = v128.load(changetype<usize>(edges), offsetof<EdgeSums>('sineBusy'));
  return i32x4.max_s(i32x4.sub(busy, i32x4.splat(count)), i32x4.splat(0));
}

/** Moves the tails back by TAIL_SLACK frames. */
export function shiftTails(tails: usize): void {
  for (let wave = 0; wave < 4; wave++, tails += TAIL_BYTES) {
    memory.copy(tails, tails + TAIL_SLACK * 4, EDGE_FRAMES * 4);
    memory.fill(tails + EDGE_FRAMES * 4, 0, TAIL_SLACK * 4);
  }
}
