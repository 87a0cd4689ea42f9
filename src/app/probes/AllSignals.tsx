/** Every recorded output of the take in a row of its own, probed or not: what happens where and when. A click clips a probe or takes it off. */
import { useCallback, useEffect, useMemo, useRef } from 'react';
import { useStore } from 'zustand';
import type { RecordedPeaks } from '../../engine/protocol.ts';
import type { SignalKind } from '../../patch/blockSpec.ts';
import { addProbe } from '../../patch/commands/addProbe.ts';
import { removeProbe } from '../../patch/commands/removeProbe.ts';
import { type Place, placeName } from '../../patch/document.ts';
import { blockLabel } from '../../patch/label.ts';
import { signalKinds } from '../../patch/signalKind.ts';
import { useApp, useListening, useSession } from '../app.ts';
import type { Peaks } from '../listen/probeHub.ts';
import { peaksOf } from '../listen/takeWindows.ts';
import { drawPeakRow } from './drawOverview.ts';
import { fitCanvas, paintOf } from './paint.ts';

/** CSS pixels. */
const ROW = 24;
/** What the rows take of the tray, at most; time.css makes room for it. */
const ALL_HEIGHT = 5 * ROW;

interface Signal {
  readonly at: Place;
  readonly name: string;
  readonly title: string;
  readonly kind: SignalKind;
  readonly tap: RecordedPeaks;
}

function useSignals(): readonly Signal[] {
  const { catalogue } = useApp();
  const take = useListening((state) => state.take);
  const blocks = useSession(({ patch }) => patch.blocks);
  const cables = useSession(({ patch }) => patch.cables);
  return useMemo(() => {
    const kinds = signalKinds({ blocks, cables }, catalogue);
    const signals = (take?.taps ?? []).flatMap((tap): (Signal & { readonly order: number })[] => {
      const order = blocks.findIndex(({ id }) => id === tap.at[0]);
      const block = blocks[order];
      const spec = catalogue.get(block?.type ?? '');
      const output = spec?.outputs.find(({ id }) => id === tap.at[1]);
      if (!block || !spec || !output) return [];
      const name = placeName(tap.at);
      const label = blockLabel(block, spec);
      const title = spec.outputs.length > 1 ? `${label}, ${output.title.toLowerCase()}` : label;
      return [{ at: tap.at, name, title, kind: kinds.get(name) ?? output.kind, tap, order }];
    });
    return signals.sort((a, b) => a.order - b.order);
  }, [take, blocks, cables, catalogue]);
}

export function AllSignals({ length }: { readonly length: number }) {
  const { session, catalogue, listening, view } = useApp();
  const signals = useSignals();
  const probes = useSession(({ patch }) => patch.probes);
  const theme = useStore(view, (state) => state.theme);
  const canvas = useRef<HTMLCanvasElement>(null);
  const list = useRef<HTMLElement>(null);
  const peaks = useRef(new WeakMap<RecordedPeaks, Peaks>());
  const frame = useRef(0);

  const draw = useCallback(() => {
    const target = canvas.current;
    const fitted = target && fitCanvas(target);
    if (!target || !fitted) return;
    const paint = paintOf(target);
    const rate = listening.getState().take?.rate ?? 48000;
    const scrolled = list.current?.scrollTop ?? 0;
    for (const [i, { tap, kind }] of signals.entries()) {
      const top = i * ROW - scrolled;
      if (top + ROW <= 0 || top >= fitted.height) continue;
      const known = peaks.current.get(tap) ?? peaksOf(tap);
      peaks.current.set(tap, known);
      drawPeakRow(
        { context: fitted.context, width: fitted.width, paint, kind, top: top + 2, height: ROW - 4 },
        { peaks: known, before: undefined, rate, length },
      );
    }
  }, [signals, listening, length]);

  const ask = useCallback(() => {
    cancelAnimationFrame(frame.current);
    frame.current = requestAnimationFrame(draw);
  }, [draw]);

  useEffect(() => {
    if (theme) ask();
    const watch = new ResizeObserver(ask);
    if (canvas.current) watch.observe(canvas.current);
    return () => {
      watch.disconnect();
      cancelAnimationFrame(frame.current);
    };
  }, [ask, theme]);

  if (signals.length === 0) return <p className="time-none soft">The take is on its way.</p>;
  return (
    <section ref={list} className="time-all" aria-label="All signals" style={{ maxHeight: ALL_HEIGHT }} onScroll={ask}>
      <ul>
        {signals.map(({ at, name, title, kind }) => {
          const probed = probes?.some((probe) => placeName(probe.at) === name) ?? false;
          return (
            <li key={name} style={{ height: ROW }}>
              <button
                type="button"
                aria-pressed={probed}
                title={probed ? `Take the probe off ${title}` : `Clip a probe to ${title}`}
                aria-label={`Probe on ${title}`}
                onClick={() => session.run((probed ? removeProbe : addProbe)(session.getState().patch, catalogue, { at }))}
              >
                <span className="probe-swatch" data-kind={kind} aria-hidden="true" />
                {title}
              </button>
            </li>
          );
        })}
      </ul>
      <canvas
        ref={canvas}
        role="img"
        aria-label="Peaks of all signals over the whole take"
        style={{ height: Math.min(ALL_HEIGHT, signals.length * ROW) }}
      />
    </section>
  );
}
