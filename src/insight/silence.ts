/** Why a patch is silent, seen from the drawing alone. */
import type { Catalogue } from '../patch/blockSpec.ts';
import type { Patch } from '../patch/document.ts';
import type { Finding } from './finding.ts';
import { type Break, createSignalPath } from './signalPath.ts';
import { sourceOf, wirePatch } from './wired.ts';

/**
 * Walks back from the outputs to the places where the sound breaks off. The first finding is the one to mend first; all are
 * errors. Empty when sound can reach an output as far as the drawing tells, and for a patch without blocks.
 */
export function whySilent(patch: Patch, catalogue: Catalogue): Finding[] {
  const wired = wirePatch(patch, catalogue);
  if (wired.blocks.size === 0) return [];
  const outputs = [...wired.blocks.values()].filter(({ spec }) => spec.bus);
  if (outputs.length === 0) return [noOutput(catalogue)];
  const path = createSignalPath(wired);
  const all: Break[] = [];
  for (const { block, spec, label } of outputs) {
    const sources = spec.inputs.map((input) => sourceOf(wired, block.id, input.id)).filter((source) => source !== undefined);
    if (sources.length === 0) {
      const input = spec.inputs[0];
      const say = `Nothing is patched to ${label}: run a cable to its input "${input?.title ?? ''}".`;
      all.push({
        finding: { id: 'output-unpatched', severity: 'error', block: block.id, place: [block.id, input?.id ?? ''], say },
        arrives: true,
        depth: 0,
      });
    }
    if (sources.some((source) => path.isLive(source))) return [];
    all.push(...path.breaks(sources));
  }
  // Where something arrives and dies comes first, nearest to the output; then what is broken as well.
  const ordered = [...all].sort((a, b) => Number(b.arrives) - Number(a.arrives) || a.depth - b.depth);
  return distinct(ordered.map(({ finding }) => ({ ...finding, severity: 'error' })));
}

function noOutput(catalogue: Catalogue): Finding {
  const titles = [...catalogue.values()].filter((spec) => spec.bus).map((spec) => spec.title);
  return {
    id: 'no-output',
    severity: 'error',
    say: `Nothing can be heard, because the patch has no output: add the block "${titles[0] ?? 'Output'}" and run a cable to it.`,
  };
}

/** Each rule once per place, in order. */
export function distinct(findings: readonly Finding[]): Finding[] {
  const seen = new Set<string>();
  return findings.filter(({ id, block, place }) => {
    const key = `${id} ${block ?? ''} ${place?.[1] ?? ''}`;
    if (seen.has(key)) return false;
    seen.add(key);
    return true;
  });
}
