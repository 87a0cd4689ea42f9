/** Seeds of blocks: 64 bits from the patch's seed and the block's id alone. */

const MASK = (1n << 64n) - 1n;

/** FNV-1a, 64 bits (Fowler, Noll, Vo), over the id's code units (ids are ASCII). */
function hash(text: string): bigint {
  let h = 0xcbf29ce484222325n;
  for (let i = 0; i < text.length; i++) h = ((h ^ BigInt(text.charCodeAt(i))) * 0x100000001b3n) & MASK;
  return h;
}

/** One step of SplitMix64 (Steele, Lea, Flood 2014), which spreads neighbouring seeds apart. */
function spread(value: bigint): bigint {
  let z = (value + 0x9e3779b97f4a7c15n) & MASK;
  z = ((z ^ (z >> 30n)) * 0xbf58476d1ce4e5b9n) & MASK;
  z = ((z ^ (z >> 27n)) * 0x94d049bb133111ebn) & MASK;
  return z ^ (z >> 31n);
}

export function blockSeed(patchSeed: number, id: string): bigint {
  return spread(spread(BigInt(Math.trunc(patchSeed))) ^ hash(id));
}
