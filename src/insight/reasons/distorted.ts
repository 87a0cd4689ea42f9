/** Where a wave is bent: cut off, driven, limited, folded back, or shaped on purpose. */
import { fromDb } from '../../measure/levels.ts';
import type { HeardPatch } from '../checks/heardPatch.ts';
import { blocksOf, blocksOnSoundPath, plain } from '../checks/look.ts';
import type { Finding } from '../finding.ts';
import { inputFigures } from '../heard.ts';
import { mostOf, sourceOf } from '../wired.ts';
import { type Evidence, ofRules, type Reasons } from './complaint.ts';

/** A wave that exceeds the straight part by less is hardly bent (our choice). */
const BENT = 1.1;

export function whyDistorted({ take, found }: Evidence): Reasons {
  const findings = [
    ...ofRules(found, ['fault', 'clipped']),
    ...bent(take),
    ...ofRules(found, ['level-grows', 'over-full-scale', 'ceiling-busy', 'foldback']),
    ...shaped(take),
  ];
  const say =
    findings.length > 0
      ? `${findings.length === 1 ? 'One place bends' : `${findings.length} places bend`} the wave; the likeliest comes first.`
      : 'I cannot tell: nothing is cut off, driven or folded back anywhere on the way to the output.';
  return { complaint: 'distorted', say, findings };
}

/** Inputs that bend what arrives, the farthest beyond their straight part first. */
function bent(take: HeardPatch): Finding[] {
  const path = blocksOnSoundPath(take.wired);
  return blocksOf(take.wired)
    .filter(({ block }) => path.has(block.id))
    .flatMap((known) =>
      known.spec.inputs.flatMap((input) => {
        const figures = inputFigures(take.heard, take.wired, known.block.id, input.id);
        if (!input.bends || !figures || !sourceOf(take.wired, known.block.id, input.id)) return [];
        const gain = input.bends.gain === undefined ? 0 : mostOf(take.wired, known, input.bends.gain);
        const peak = Math.max(Math.abs(figures.least), Math.abs(figures.most));
        const times = (peak * fromDb(gain)) / input.bends.fromVolts;
        if (times < BENT) return [];
        const driven = gain > 0 ? ` and are driven by ${plain(gain)} dB` : '';
        const say = `${known.label} bends what exceeds ${input.bends.fromVolts} V: ${plain(peak)} V arrive${driven}.`;
        const place = [known.block.id, gain > 0 && input.bends.gain !== undefined ? input.bends.gain : input.id] as const;
        return [{ times, finding: { id: 'bends', severity: 'hint' as const, block: known.block.id, place, say } }];
      }),
    )
    .sort((a, b) => b.times - a.times)
    .map(({ finding }) => finding);
}

/** What is made to bend waves, on the way of the sound. */
function shaped(take: HeardPatch): Finding[] {
  const path = blocksOnSoundPath(take.wired);
  return blocksOf(take.wired)
    .filter(
      ({ block, spec }) => path.has(block.id) && spec.overtones && (spec.flows ?? []).length > 0 && !spec.inputs.some(({ bends }) => bends),
    )
    .map(({ block, label, spec }) => ({
      id: 'shapes',
      severity: 'hint',
      block: block.id,
      say: `${label} makes new overtones: that is what a ${spec.part.one} is for.`,
    }));
}
