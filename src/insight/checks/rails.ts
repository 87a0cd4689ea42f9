/** Where voltages are cut off at the rails. */
import { type Place, placeName } from '../../patch/document.ts';
import { type KnownBlock, sourceOf } from '../wired.ts';
import type { HeardPatch } from './heardPatch.ts';
import { blocksOf } from './look.ts';

/** A voltage may touch the rails on so many frames unnoticed (our choice: a few edges). */
const FEW_FRAMES = 8;

export interface AtRails {
  readonly known: KnownBlock;
  readonly place: Place;
  /** Share of the take. */
  readonly share: number;
}

/** Outputs at the rails whose block has no input that comes from the rails already: there the clipping begins. */
export function firstAtRails({ wired, heard, figures }: HeardPatch): AtRails[] {
  const isCut = (place: Place): boolean => (figures(place)?.atRail ?? 0) > FEW_FRAMES && wired.from.has(placeName(place));
  const all = blocksOf(wired).flatMap((known) => {
    // nothing in front of a source could be turned down: its peaks are made so
    if (known.spec.inputs.length === 0) return [];
    const cut = known.spec.outputs.map((output): Place => [known.block.id, output.id]).filter(isCut);
    const [first] = [...cut].sort((a, b) => (figures(b)?.atRail ?? 0) - (figures(a)?.atRail ?? 0));
    const inherited = known.spec.inputs.some((input) => {
      const source = sourceOf(wired, known.block.id, input.id);
      return source !== undefined && source[0] !== known.block.id && isCut(source);
    });
    return first ? [{ known, place: first, share: (figures(first)?.atRail ?? 0) / heard.frames, inherited }] : [];
  });
  const begins = all.filter(({ inherited }) => !inherited);
  // in a loop each has it from the other
  return begins.length > 0 ? begins : all.slice(0, 1);
}
