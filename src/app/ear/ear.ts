/**
 * The ear: listening to one point of the patch instead of its outputs, live and in takes. The document is not changed and undo knows
 * nothing of it. It comes off by itself when its block, or the probe it was put on, is gone.
 */
import { createStore, type StoreApi } from 'zustand/vanilla';
import type { TakeDone } from '../../engine/hosts/takes.ts';
import { type Announcement, announce } from '../../insight/heardPoint.ts';
import type { Catalogue, SignalKind } from '../../patch/blockSpec.ts';
import { type Patch, type Place, placeName, samePlace } from '../../patch/document.ts';
import { hasOutput } from '../../patch/ear.ts';
import { blockLabel } from '../../patch/label.ts';
import { signalKinds } from '../../patch/signalKind.ts';
import type { Listening } from '../listen/listening.ts';
import type { Sounds } from '../sounds/sounds.ts';
import type { Session } from '../store/session.ts';
import type { EarTakes, PointTake } from './earTakes.ts';

export interface EarState {
  /** The output that is heard; undefined: what the patch puts out. */
  readonly at: Place | undefined;
  /** "LFO triangle" */
  readonly name: string;
  readonly announcement: Announcement | undefined;
  /** What is heard there in the take, and in the take before the last edit; undefined until it is rendered. */
  readonly after: PointTake | undefined;
  readonly before: PointTake | undefined;
}

export interface Ear extends StoreApi<EarState> {
  listenTo(at: Place): void;
  /** Back to what the patch puts out. */
  off(): void;
  /** Puts the ear on, or takes it off where it is. */
  toggle(at: Place): void;
}

export interface EarParts {
  readonly session: Session;
  readonly catalogue: Catalogue;
  readonly listening: Listening;
  readonly sounds: Pick<Sounds, 'ready'>;
  readonly takes: EarTakes;
}

const nothing: EarState = { at: undefined, name: '', announcement: undefined, after: undefined, before: undefined };

export function createEar({ session, catalogue, listening, sounds, takes }: EarParts): Ear {
  const store = createStore<EarState>()(() => nothing);
  const { getState, setState } = store;
  /** What was rendered of the point, by the take of the patch. */
  let known = new Map<TakeDone, PointTake>();
  let rendering: TakeDone | undefined;

  const kindOf = (patch: Patch, at: Place): SignalKind => {
    const type = patch.blocks.find(({ id }) => id === at[0])?.type ?? '';
    const stated = catalogue.get(type)?.outputs.find(({ id }) => id === at[1])?.kind;
    return signalKinds(patch, catalogue).get(placeName(at)) ?? stated ?? 'audio';
  };

  const patchOf = (take: TakeDone | undefined, at: Place): Patch | undefined => {
    const patch = take && listening.patchOf(take);
    return patch && hasOutput(patch, catalogue, at) ? patch : undefined;
  };

  /** Renders the point for the take and for the one before, one after the other, as far as it has not been. */
  function render(): void {
    const { at } = getState();
    if (!at) return;
    const { take, before, takeQuality: quality } = listening.getState();
    known = new Map([...known].filter(([key]) => key === take || key === before));
    const after = take && known.get(take);
    setState({
      after: after ?? (take ? getState().after : undefined),
      before: before && known.get(before),
      ...(after && { announcement: after.announcement }),
    });
    const next = [take, before].find((one) => one && !known.has(one) && patchOf(one, at));
    if (!next) {
      takes.cancel();
      rendering = undefined;
      return;
    }
    if (next === rendering) return;
    rendering = next;
    const patch = patchOf(next, at) as Patch;
    const request = { patch, at, kind: kindOf(patch, at), seconds: next.frames / next.rate, rate: next.rate, quality };
    takes.render(request, sounds.ready(), (heard) => {
      rendering = undefined;
      known.set(next, heard);
      render();
    });
  }

  function off(): void {
    if (!getState().at) return;
    takes.cancel();
    known.clear();
    rendering = undefined;
    listening.hearPoint(undefined, false);
    setState(nothing);
    session.say('You hear what the patch puts out.');
  }

  function listenTo(at: Place): void {
    const { patch } = session.getState();
    const old = getState().at;
    if ((old && samePlace(old, at)) || !hasOutput(patch, catalogue, at)) return;
    known.clear();
    rendering = undefined;
    const announcement = announce(kindOf(patch, at), undefined);
    setState({ ...nothing, at: [at[0], at[1]], name: nameOf(patch, catalogue, at), announcement });
    listening.hearPoint(at, !announcement.sounds);
    if (listening.getState().takeStatus === 'none') listening.renderTake();
    render();
  }

  session.subscribe((now, old) => {
    const { at } = getState();
    if (!at || now.patch === old.patch) return;
    const probed = (patch: Patch): boolean => !!patch.probes?.some((probe) => samePlace(probe.at, at));
    const opened = now.opened.count !== old.opened.count;
    if (opened || !hasOutput(now.patch, catalogue, at) || (probed(old.patch) && !probed(now.patch))) off();
    else if (now.patch.blocks !== old.patch.blocks) {
      const name = nameOf(now.patch, catalogue, at);
      if (name !== getState().name) setState({ name });
    }
  });
  listening.subscribe((now, old) => {
    if (now.take !== old.take || now.before !== old.before) render();
  });

  return Object.assign(store, {
    listenTo,
    off,
    toggle(at: Place) {
      const now = getState().at;
      if (now && samePlace(now, at)) off();
      else listenTo(at);
    },
  });
}

/** "LFO triangle"; a block with one output goes by its label alone. */
export function nameOf(patch: Pick<Patch, 'blocks'>, catalogue: Catalogue, [id, port]: Place): string {
  const block = patch.blocks.find((known) => known.id === id);
  const spec = catalogue.get(block?.type ?? '');
  const output = spec?.outputs.find((known) => known.id === port);
  if (!block || !spec || !output) return id;
  const label = blockLabel(block, spec);
  return spec.outputs.length > 1 ? `${label}, ${output.title.toLowerCase()}` : label;
}
