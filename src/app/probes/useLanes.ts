/** One recorder per clipped probe, kept as long as the probe is there. */

import { useEffect, useMemo, useRef } from 'react';
import { placeName } from '../../patch/document.ts';
import { blockLabel } from '../../patch/label.ts';
import { signalKinds } from '../../patch/signalKind.ts';
import { useApp, useSession } from '../app.ts';
import type { Lane } from './lanes.ts';
import { Recorder } from './recorder.ts';

/** The patch's probes that have something to show, with what they saw. `changed` is told of new samples. */
export function useLanes(changed: () => void): readonly Lane[] {
  const { catalogue, probes } = useApp();
  const told = useRef(changed);
  told.current = changed;
  const recorders = useRef(new Map<string, Recorder>());
  const wanted = useSession(({ patch }) => patch.probes);
  const blocks = useSession(({ patch }) => patch.blocks);
  const cables = useSession(({ patch }) => patch.cables);

  const lanes = useMemo(() => {
    const recorderOf = (name: string): Recorder => {
      const known = recorders.current.get(name) ?? new Recorder(() => told.current());
      recorders.current.set(name, known);
      return known;
    };
    const seen = new Set<string>();
    const kinds = signalKinds({ blocks, cables }, catalogue);
    return (wanted ?? []).flatMap(({ at }): Lane[] => {
      const name = placeName(at);
      const block = blocks.find(({ id }) => id === at[0]);
      const spec = catalogue.get(block?.type ?? '');
      const output = spec?.outputs.find(({ id }) => id === at[1]);
      if (!block || !spec || !output || seen.has(name)) return [];
      seen.add(name);
      const port = spec.outputs.length > 1 ? output.title.toLowerCase() : '';
      return [{ name, title: blockLabel(block, spec), port, kind: kinds.get(name) ?? output.kind, recorder: recorderOf(name) }];
    });
  }, [wanted, blocks, cables, catalogue]);

  const names = lanes.map(({ name }) => name).join(' ');
  useEffect(() => {
    const stops = names
      .split(' ')
      .filter(Boolean)
      .map((name) => {
        const dot = name.indexOf('.');
        return probes.subscribe([name.slice(0, dot), name.slice(dot + 1)], recorders.current.get(name) as Recorder);
      });
    for (const name of recorders.current.keys()) if (!names.split(' ').includes(name)) recorders.current.delete(name);
    return () => {
      for (const stop of stops) stop();
    };
  }, [names, probes]);

  return lanes;
}
