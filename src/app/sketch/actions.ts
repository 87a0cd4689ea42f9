/**
 * Everything that can be done on the sketch, for keys, menus, buttons and gestures alike. Each is one undo step.
 */

import type { ReactFlowInstance } from '@xyflow/react';
import type { Change } from '../../patch/change.ts';
import { addedBlocks } from '../../patch/change.ts';
import {
  addBlock,
  addProbe,
  connect,
  copyBlocks,
  disconnect,
  duplicateBlocks,
  type Fragment,
  insertIntoCable,
  pasteFragment,
  placeBlocks,
  removeBlocks,
  removeProbe,
} from '../../patch/commands/index.ts';
import { type Cable, type Place, placeName, samePlace } from '../../patch/document.ts';
import { idsInHistory } from '../../patch/history.ts';
import { blockLabel } from '../../patch/label.ts';
import { isRefusal, type Refusal } from '../../patch/refusal.ts';
import { blockSize, bounds, GRID, type Point, snap } from '../../sheet/drawing/geometry.ts';
import type { App } from '../app.ts';
import { aimCabling, type Cabling, type CablingOutcome, endCabling, fits, type PortRef, startCabling } from './cabling.ts';
import { fragmentText, readFragment } from './clipboard.ts';
import type { BlockFlowNode } from './flowNodes.ts';
import { freeSpot } from './freeSpot.ts';
import { makeRoom } from './makeRoom.ts';
import { restingSketch, type SketchParts } from './sketchStore.ts';
import { tidyPlaces } from './tidy.ts';

export type Flow = Pick<
  ReactFlowInstance<BlockFlowNode>,
  'fitView' | 'screenToFlowPosition' | 'getViewport' | 'setCenter' | 'zoomIn' | 'zoomOut' | 'setViewport'
>;

const COPY_BY = 3 * GRID;

export type Actions = ReturnType<typeof createActions>;

/** @param paper the element that shows the sketch */
export function createActions(app: App, { sketch, drawn }: SketchParts, flow: Flow, paper: () => HTMLElement | null) {
  const { session, catalogue, symbols, view } = app;
  const patch = () => session.getState().patch;
  const chosen = (): readonly string[] => [...session.getState().selection.blocks];
  const taken = () => idsInHistory(session.getState().history);
  /** What was copied last, for browsers that forbid reading the clipboard. */
  let copied: Fragment | undefined;
  let pastes = 0;

  const selectAdded = (outcome: Change | Refusal): readonly string[] => {
    if (!session.run(outcome) || isRefusal(outcome)) return [];
    const ids = addedBlocks(outcome).map((block) => block.id);
    session.select(ids);
    return ids;
  };

  /** The middle of the visible sketch. */
  const middle = (): Point => {
    const rect = paper()?.getBoundingClientRect();
    if (!rect) return [0, 0];
    const { x, y } = flow.screenToFlowPosition({ x: rect.left + rect.width / 2, y: rect.top + rect.height / 2 }, { snapToGrid: false });
    return [x, y];
  };

  /** A name that no other block has: "Envelope", "Envelope 2", from the first word of "Envelope, contour". */
  const freshLabel = (title: string): string => {
    const labels = new Set(patch().blocks.map((block) => block.label));
    const stem = title.split(/[,(]/)[0]?.trim() || title;
    let label = stem;
    for (let n = 2; labels.has(label); n++) label = `${stem} ${n}`;
    return label;
  };

  const actions = {
    /** Places a function at a point, or near the middle where there is room. Returns the new block's id. */
    place(type: string, at?: Point): string | undefined {
      const spec = catalogue.get(type);
      const symbol = symbols[type];
      if (!spec || !symbol) return undefined;
      const spot = at ?? freeSpot(middle(), blockSize(spec, symbol), drawn.getState().blocks.values());
      const [id] = selectAdded(addBlock(patch(), catalogue, { type, at: snap(spot), label: freshLabel(spec.title), taken: taken() }));
      if (id) session.say(`${spec.title} placed.`);
      return id;
    },
    /** Places a function into a cable, at a point of it. */
    placeInto(type: string, input: string, at: Point): string | undefined {
      const spec = catalogue.get(type);
      const cable = cableInto(input);
      if (!spec || !cable) return undefined;
      const block = { type, at: snap(at), label: freshLabel(spec.title), taken: taken() };
      session.beginGesture('insert', `Insert ${spec.title}`);
      const [id] = selectAdded(insertIntoCable(patch(), catalogue, { cable: cable.to, block }));
      if (id) giveRoom(id, cable.from[0]);
      session.commitGesture();
      return id;
    },
    /** Puts dragged blocks down, into a cable where one was aimed at. */
    putDown(places: ReadonlyMap<string, Point>, into: string | undefined): void {
      const [only] = places.keys();
      const cable = into === undefined ? undefined : cableInto(into);
      const label = places.size === 1 ? `Move ${nameOf(only ?? '')}` : `Move ${places.size} blocks`;
      const move = placeBlocks(patch(), catalogue, { places, label });
      if (!cable || !only) {
        session.run(move);
        return;
      }
      session.beginGesture('insert', `Insert ${nameOf(only)}`);
      if (session.run(move) && session.run(insertIntoCable(patch(), catalogue, { cable: cable.to, block: only })))
        giveRoom(only, cable.from[0]);
      session.commitGesture();
    },
    /** Moves the selected blocks; steps with held keys are one undo step until `session.commitGesture()`. */
    nudge(by: Point): void {
      const { blocks } = drawn.getState();
      const places = new Map<string, Point>();
      for (const id of chosen()) {
        const at = blocks.get(id)?.at;
        if (at) places.set(id, [at[0] + by[0], at[1] + by[1]]);
      }
      if (places.size === 0) return;
      const label = places.size === 1 ? `Move ${nameOf([...places.keys()][0] ?? '')}` : `Move ${places.size} blocks`;
      session.run(placeBlocks(patch(), catalogue, { places, label }), { gesture: 'nudge' });
    },
    remove(): void {
      const { selection } = session.getState();
      const cable = selection.cable === undefined ? undefined : cableInto(selection.cable);
      if (cable) session.run(disconnect(patch(), catalogue, { to: [cable.to] }));
      else if (selection.blocks.size > 0) session.run(removeBlocks(patch(), catalogue, { ids: chosen() }));
    },
    unplug(input: Place): void {
      session.run(disconnect(patch(), catalogue, { to: [input] }));
    },
    unplugAll(): void {
      const ids = session.getState().selection.blocks;
      const to = patch().cables.filter((cable) => ids.has(cable.from[0]) || ids.has(cable.to[0]));
      session.run(disconnect(patch(), catalogue, { to: to.map((cable) => cable.to) }));
    },
    duplicate(): void {
      selectAdded(duplicateBlocks(patch(), catalogue, { ids: chosen(), by: [COPY_BY, COPY_BY], taken: taken() }));
    },
    /** The selected blocks as text for the clipboard; undefined when none is selected. */
    copyText(): string | undefined {
      if (chosen().length === 0) return undefined;
      const fragment = copyBlocks(patch(), catalogue, { ids: chosen() });
      if (isRefusal(fragment)) return undefined;
      copied = fragment;
      pastes = 0;
      session.say(fragment.blocks.length === 1 ? 'One block copied.' : `${fragment.blocks.length} blocks copied.`);
      return fragmentText(fragment);
    },
    copy(): void {
      const text = actions.copyText();
      if (text) navigator.clipboard?.writeText(text).catch(() => {});
    },
    cut(): void {
      actions.copy();
      actions.remove();
    },
    pasteText(text: string): void {
      const fragment = readFragment(text, catalogue);
      if (isRefusal(fragment)) session.say(fragment.say, 'refusal');
      else paste(fragment);
    },
    async paste(): Promise<void> {
      const text = await navigator.clipboard?.readText?.().catch(() => undefined);
      if (text) actions.pasteText(text);
      else if (copied) paste(copied);
      else session.say('Nothing was copied yet.');
    },
    connect(cable: Cable, lifted?: Place): boolean {
      return session.run(connect(patch(), catalogue, { ...cable, ...(lifted && { instead: lifted }) }));
    },
    /** A port is chosen without a pointer: a cable begins there, or the one in hand ends there. */
    pick(port: PortRef): void {
      const { cabling } = sketch.getState();
      if (!cabling) {
        sketch.setState({ cabling: startCabling(port, 'keys', patch().cables) });
        session.say(`A cable is in hand. Go to ${port.side === 'output' ? 'an input' : 'an output'} and press Enter; Escape puts it away.`);
      } else if (fits(cabling, port)) {
        actions.finish(aimCabling(cabling, undefined, port));
      } else {
        session.say(
          `A cable goes from an output to an input: choose ${cabling.from.side === 'output' ? 'an input' : 'an output'}.`,
          'refusal',
        );
      }
    },
    /** Ends the cable in hand. */
    finish(cabling: Cabling): CablingOutcome {
      const outcome = endCabling(cabling);
      sketch.setState({ cabling: undefined });
      if (outcome.kind === 'connect' && actions.connect(outcome.cable, outcome.lifted)) {
        session.selectCable(placeName(outcome.cable.to));
        session.say(`${nameOf(outcome.cable.from[0])} feeds ${nameOf(outcome.cable.to[0])}.`);
      }
      if (outcome.kind === 'unplug') actions.unplug(outcome.input);
      return outcome;
    },
    probe(output: Place): void {
      if (patch().probes?.some((probe) => samePlace(probe.at, output))) {
        view.setState({ trayShown: true });
        return;
      }
      if (session.run(addProbe(patch(), catalogue, { at: output }))) view.setState({ trayShown: true });
    },
    unprobe(output: Place): void {
      session.run(removeProbe(patch(), catalogue, { at: output }));
    },
    async tidy(): Promise<void> {
      const before = patch();
      if (before.blocks.length === 0) return;
      const places = await tidyPlaces(before, drawn.getState().blocks).catch(() => undefined);
      if (!places) return session.say('The sketch could not be tidied.', 'refusal');
      // The patch was edited meanwhile: its newer form is not to be laid out by the older one.
      if (patch() !== before) return actions.tidy();
      const change = placeBlocks(before, catalogue, { places, label: 'Tidy' });
      paper()?.classList.add('is-tidying');
      setTimeout(() => paper()?.classList.remove('is-tidying'), 400);
      session.run(change);
      actions.fit();
    },
    fit(): void {
      const all = bounds([...drawn.getState().blocks.values()].flatMap(({ box, label }) => [box, label]));
      const rect = paper()?.getBoundingClientRect();
      if (!all || !rect || rect.width === 0) return;
      const margin = 32;
      const foot = 56;
      const zoom = Math.min(
        1.25,
        Math.max(0.1, Math.min((rect.width - 2 * margin) / all.width, (rect.height - margin - foot) / all.height)),
      );
      const x = rect.width / 2 - (all.x + all.width / 2) * zoom;
      const y = (rect.height - foot + margin) / 2 - (all.y + all.height / 2) * zoom;
      void flow.setViewport({ x, y, zoom }, { duration: calm() ? 0 : 250 });
    },
    openPalette(placeAt?: Point | string): void {
      sketch.setState({ placeAt });
      view.setState({ palette: true, drawer: undefined });
    },
    rename(id = chosen()[0]): void {
      if (id) sketch.setState({ renaming: id });
    },
    settings(): void {
      view.setState({ stripShown: true, drawer: 'strip' });
      requestAnimationFrame(() => document.querySelector<HTMLElement>('.shell-strip :is(input, select, button, [tabindex="0"])')?.focus());
    },
  };

  function cableInto(input: string): Cable | undefined {
    return patch().cables.find((cable) => placeName(cable.to) === input);
  }

  /** Pushes the blocks behind an inserted one aside where there is too little room. */
  function giveRoom(id: string, source: string): void {
    drawn.show(patch(), restingSketch.moved);
    const others = new Map(drawn.getState().blocks);
    const placed = others.get(id);
    others.delete(id);
    if (!placed) return;
    const { at, pushed } = makeRoom(placed, others, source);
    session.run(placeBlocks(patch(), catalogue, { places: new Map([...pushed, [id, at]]) }));
  }

  function nameOf(id: string): string {
    const block = patch().blocks.find((other) => other.id === id);
    return block ? blockLabel(block, catalogue.get(block.type)) : id;
  }

  function paste(fragment: Fragment): void {
    pastes++;
    selectAdded(pasteFragment(patch(), catalogue, { fragment, by: [COPY_BY * pastes, COPY_BY * pastes], taken: taken() }));
  }

  return actions;
}

/** Does the person want no motion? */
export function calm(): boolean {
  return matchMedia('(prefers-reduced-motion: reduce)').matches;
}
