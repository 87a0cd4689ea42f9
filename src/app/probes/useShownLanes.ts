/** Which lanes the chosen view shows: of the probes those that concern it, and for the gates all that the patch uses. */
import { useMemo } from 'react';
import { useStore } from 'zustand';
import { placeName } from '../../patch/document.ts';
import { blockLabel } from '../../patch/label.ts';
import { useApp, useListening, useSession } from '../app.ts';
import { peaksOf } from '../listen/takeWindows.ts';
import type { Lane } from './lanes.ts';
import { Recorder } from './recorder.ts';
import type { ScopeStore } from './scopeStore.ts';
import { viewOf } from './views.ts';

/** Outputs without a probe never record. */
const silent = new Recorder(() => undefined);
/** A score of more rows cannot be read. */
const MOST_ROWS = 24;

export function useShownLanes(scope: ScopeStore, probes: readonly Lane[]): readonly Lane[] {
  const { catalogue } = useApp();
  const view = useStore(scope, ({ show }) => viewOf(show));
  const take = useListening((state) => (view.everyGate ? state.take : undefined));
  const live = useListening(({ sound }) => sound === 'on');
  const blocks = useSession(({ patch }) => patch.blocks);
  const cables = useSession(({ patch }) => patch.cables);

  return useMemo(() => {
    const shown = view.shows?.(probes) ?? probes;
    if (!view.everyGate || !take || live) return shown;
    const others: Lane[] = [];
    const seen = new Set(shown.map(({ name }) => name));
    for (const { from } of cables) {
      const name = placeName(from);
      const block = blocks.find(({ id }) => id === from[0]);
      const spec = catalogue.get(block?.type ?? '');
      const output = spec?.outputs.find(({ id }) => id === from[1]);
      if (!block || !spec || output?.kind !== 'gate' || seen.has(name)) continue;
      seen.add(name);
      const tap = take.taps.find(({ at }) => placeName(at) === name);
      if (!tap) continue;
      others.push({
        name,
        title: blockLabel(block, spec),
        port: spec.outputs.length > 1 ? output.title.toLowerCase() : '',
        kind: 'gate',
        recorder: silent,
        coarse: { ...peaksOf(tap), rate: take.rate },
      });
    }
    return [...shown, ...others].slice(0, MOST_ROWS);
  }, [view, take, live, probes, blocks, cables, catalogue]);
}
