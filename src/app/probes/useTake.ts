/** What the time axis is made of: the length of the take and its beats. */
import { useMemo } from 'react';
import { gateOutputs } from '../../patch/beats.ts';
import { DEFAULT_SECONDS, placeName } from '../../patch/document.ts';
import { blockLabel } from '../../patch/label.ts';
import { useApp, useListening, useSession } from '../app.ts';
import type { Beats } from './beats.ts';

export function useTakeLength(): number {
  return useSession(({ patch }) => patch.seconds ?? DEFAULT_SECONDS);
}

/** Beats of the take; undefined where there is no clock and no gate was chosen, or no take. */
export function useBeats(): Beats | undefined {
  const take = useListening((state) => state.take);
  return useMemo(() => (take && take.edges.length > 0 ? { edges: take.edges, rate: take.rate } : undefined), [take]);
}

/** All gates of the patch that may be stepped along: "block.port" and what to call it. */
export function useGates(): readonly (readonly [string, string])[] {
  const { catalogue } = useApp();
  const blocks = useSession(({ patch }) => patch.blocks);
  const cables = useSession(({ patch }) => patch.cables);
  return useMemo(
    () =>
      gateOutputs({ blocks, cables }, catalogue).flatMap((at) => {
        const block = blocks.find(({ id }) => id === at[0]);
        const spec = block && catalogue.get(block.type);
        const output = spec?.outputs.find(({ id }) => id === at[1]);
        if (!block || !spec || !output) return [];
        const title = spec.outputs.length > 1 ? `${blockLabel(block, spec)}, ${output.title.toLowerCase()}` : blockLabel(block, spec);
        return [[placeName(at), title] as const];
      }),
    [blocks, cables, catalogue],
  );
}
