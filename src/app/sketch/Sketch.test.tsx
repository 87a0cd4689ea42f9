import { act, fireEvent, screen, waitFor, within } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { beforeEach, describe, expect, it, vi } from 'vitest';
import { renderIn, smallApp } from '../../../tests/support/smallApp.tsx';
import type { Patch } from '../../patch/document.ts';
import type { App } from '../app.ts';
import { FunctionList } from '../functions/FunctionList.tsx';
import { Sketch } from './Sketch.tsx';

const patch: Patch = {
  title: 'Pier',
  blocks: [
    { id: 'osc1', type: 'oscillator', label: 'Horn', at: [0, 0] },
    { id: 'lfo1', type: 'lfo', label: 'Swell', at: [0, 160] },
    { id: 'amp1', type: 'vca', label: 'Gate', at: [200, 0] },
    { id: 'out1', type: 'output', label: 'Quay', at: [400, 0] },
  ],
  cables: [{ from: ['osc1', 'sine'], to: ['amp1', 'in'] }],
};

let app: App;
const state = () => app.session.getState();
const cables = () => state().patch.cables.map(({ from, to }) => `${from.join('.')} > ${to.join('.')}`);
const steps = () => state().history.past.map((step) => step.label);
const block = (name: RegExp) => screen.getByRole('group', { name });
const port = (name: string) => document.querySelector<HTMLElement>(`[data-port="${name}"]`) as HTMLElement;
const inPort = (name: string) => port(`input ${name}`);
const outPort = (name: string) => port(`output ${name}`);

/** A port's place from where it is drawn: the block's centre and the button's own offset. */
function place(element: HTMLElement): { clientX: number; clientY: number } {
  const id = element.dataset.block ?? '';
  const [x = 0, y = 0] = patch.blocks.find((known) => known.id === id)?.at ?? [];
  const node = element.closest<HTMLElement>('.react-flow__node') as HTMLElement;
  const width = Number.parseFloat(node.style.width);
  const height = Number.parseFloat(node.style.height);
  return { clientX: x - width / 2 + Number.parseFloat(element.style.left), clientY: y - height / 2 + Number.parseFloat(element.style.top) };
}

/** Hands: press, move, let go. */
const hand = {
  press: (element: HTMLElement) => fireEvent.pointerDown(element, { ...place(element), pointerId: 1, button: 0, pointerType: 'mouse' }),
  moveTo: (element: HTMLElement) => fireEvent.pointerMove(element, { ...place(element), pointerId: 1, pointerType: 'mouse' }),
  moveAway: () => fireEvent.pointerMove(paper(), { clientX: 700, clientY: 700, pointerId: 1, pointerType: 'mouse' }),
  letGo: (element: HTMLElement) => fireEvent.pointerUp(element, { ...place(element), pointerId: 1, pointerType: 'mouse' }),
  letGoOnPaper: () => fireEvent.pointerUp(paper(), { clientX: 700, clientY: 700, pointerId: 1, pointerType: 'mouse' }),
  click(element: HTMLElement) {
    hand.press(element);
    hand.letGo(element);
    fireEvent.click(element, { ...place(element), detail: 1 });
  },
};
const paper = () => document.querySelector<HTMLElement>('.react-flow__pane') as HTMLElement;

beforeEach(async () => {
  HTMLElement.prototype.setPointerCapture = vi.fn();
  app = smallApp(patch);
  renderIn(
    app,
    <>
      <FunctionList />
      <Sketch />
    </>,
  );
  await waitFor(() => expect(block(/^Horn/)).toBeVisible());
});

describe('the sketch', () => {
  it('shows every block with its name, and every port with a name for the ear', () => {
    expect(block(/^Horn, Oscillator/)).toBeInTheDocument();
    expect(within(block(/^Gate/)).getByRole('button', { name: 'In, audio input, fed by Horn, Sine' })).toBeInTheDocument();
    expect(within(block(/^Swell/)).getByRole('button', { name: 'Triangle, control output' })).toBeInTheDocument();
  });

  it('runs a cable by drag, as one undo step', () => {
    hand.press(outPort('lfo1.triangle'));
    hand.moveAway();
    hand.moveTo(inPort('amp1.cv'));
    hand.letGo(inPort('amp1.cv'));
    expect(cables()).toContain('lfo1.triangle > amp1.cv');
    expect(steps()).toHaveLength(1);
    act(() => app.session.undo());
    expect(state().patch).toEqual(patch);
  });

  it('runs a cable from the input to the output as well', () => {
    hand.press(inPort('amp1.cv'));
    hand.moveAway();
    hand.moveTo(outPort('lfo1.square'));
    hand.letGo(outPort('lfo1.square'));
    expect(cables()).toContain('lfo1.square > amp1.cv');
  });

  it('runs a cable by two clicks', () => {
    hand.click(outPort('amp1.out'));
    expect(cables()).toHaveLength(1);
    hand.click(inPort('out1.left'));
    expect(cables()).toContain('amp1.out > out1.left');
  });

  it('puts a loose cable away by Escape, by a second click on the port and by a click on the paper', async () => {
    const user = userEvent.setup();
    const isLoose = () => document.querySelector('.cabling') !== null;
    hand.click(outPort('amp1.out'));
    expect(isLoose()).toBe(true);
    await user.keyboard('{Escape}');
    expect(isLoose()).toBe(false);
    hand.click(outPort('amp1.out'));
    hand.click(outPort('amp1.out'));
    expect(isLoose()).toBe(false);
    hand.click(outPort('amp1.out'));
    fireEvent.click(paper(), { detail: 1 });
    expect(isLoose()).toBe(false);
    expect(state().patch).toEqual(patch);
  });

  it('replaces the cable of an occupied input, in one step', () => {
    hand.press(outPort('lfo1.triangle'));
    hand.moveAway();
    hand.moveTo(inPort('amp1.in'));
    hand.letGo(inPort('amp1.in'));
    expect(cables()).toEqual(['lfo1.triangle > amp1.in']);
    expect(steps()).toHaveLength(1);
  });

  it('leads a cable elsewhere when it is dragged out of its input, and unplugs it when it is dropped on the paper', () => {
    hand.press(inPort('amp1.in'));
    hand.moveAway();
    hand.moveTo(inPort('out1.left'));
    hand.letGo(inPort('out1.left'));
    expect(cables()).toEqual(['osc1.sine > out1.left']);
    hand.press(inPort('out1.left'));
    hand.moveAway();
    hand.letGoOnPaper();
    expect(cables()).toEqual([]);
    expect(steps()).toHaveLength(2);
  });

  it('asks for the port when a cable is dropped on a block, and puts it away when none is chosen', async () => {
    const user = userEvent.setup();
    const dropOn = (element: HTMLElement): void => {
      document.elementFromPoint = () => element;
      hand.press(outPort('lfo1.triangle'));
      hand.moveAway();
      hand.letGoOnPaper();
    };
    dropOn(block(/^Gate/));
    await user.click(await screen.findByRole('menuitem', { name: 'CV' }));
    expect(cables()).toContain('lfo1.triangle > amp1.cv');
    dropOn(block(/^Gate/));
    expect(await screen.findByRole('menuitem', { name: /^In.*in use$/ })).toBeInTheDocument();
    await user.keyboard('{Escape}');
    expect(document.querySelector('.cabling')).toBeNull();
    expect(steps()).toHaveLength(1);
  });

  it('runs a cable by keys alone: Enter on a port, arrows to another, Enter', async () => {
    const user = userEvent.setup();
    act(() => outPort('amp1.out').focus());
    await user.keyboard('{Enter}{ArrowRight}');
    expect(document.activeElement).toBe(inPort('out1.left'));
    await user.keyboard('{Enter}');
    expect(cables()).toContain('amp1.out > out1.left');
  });

  it('removes the cable of a focused input by Delete, not the block', async () => {
    const user = userEvent.setup();
    act(() => app.session.select(['amp1']));
    act(() => inPort('amp1.in').focus());
    await user.keyboard('{Delete}');
    expect(cables()).toEqual([]);
    expect(state().patch.blocks).toHaveLength(4);
  });

  it('says why not when two outputs are to be joined by keys', async () => {
    const user = userEvent.setup();
    act(() => outPort('amp1.out').focus());
    await user.keyboard('{Enter}');
    act(() => outPort('osc1.saw').focus());
    await user.keyboard('{Enter}');
    expect(state().said).toMatchObject({ kind: 'refusal' });
    expect(cables()).toHaveLength(1);
  });

  it('moves the selected blocks by arrow keys on the grid; keys held down are one step', async () => {
    const user = userEvent.setup();
    act(() => block(/^Horn/).focus());
    await user.keyboard('{ArrowRight>3/}{Shift>}{ArrowDown}{/Shift}');
    const moved = state().patch.blocks.find(({ id }) => id === 'osc1');
    expect(moved?.at).toEqual([24, 32]);
    expect(steps()).toEqual(['Move Horn', 'Move Horn']);
  });

  it('places a function by typing its name, with the focus on it and a name of its own', async () => {
    const user = userEvent.setup();
    act(() => block(/^Horn/).focus());
    await user.keyboard('/');
    await user.type(screen.getByPlaceholderText(/function's name/), 'ampl{Enter}');
    const placed = state().patch.blocks.at(-1);
    expect(placed).toMatchObject({ type: 'vca', label: 'Amplifier' });
    expect([...state().selection.blocks]).toEqual([placed?.id]);
    await waitFor(() => expect(document.activeElement).toBe(block(/^Amplifier/)));
  });

  it('places a function by a click in the list, clear of the others', async () => {
    const user = userEvent.setup();
    await user.click(screen.getByRole('button', { name: 'LFO' }));
    await user.click(screen.getByRole('button', { name: 'LFO' }));
    const [first, second] = state().patch.blocks.slice(-2);
    expect(first?.at).not.toEqual(second?.at);
    expect([first?.label, second?.label]).toEqual(['LFO', 'LFO 2']);
  });

  it('duplicates, deletes, undoes and redoes', async () => {
    const user = userEvent.setup();
    act(() => app.session.select(['osc1', 'amp1']));
    await user.keyboard('{Control>}d{/Control}');
    expect(state().patch.blocks).toHaveLength(6);
    expect(cables()).toHaveLength(2);
    await user.keyboard('{Delete}');
    expect(state().patch).toEqual(patch);
    await user.keyboard('{Control>}zz{/Control}');
    expect(state().patch).toEqual(patch);
    await user.keyboard('{Control>}y{/Control}');
    expect(state().patch.blocks).toHaveLength(6);
    await user.keyboard('{Control>}{Shift>}z{/Shift}{/Control}');
    expect(steps()).toHaveLength(2);
  });

  it('copies and pastes as the text of a patch', () => {
    act(() => app.session.select(['osc1', 'amp1']));
    const data = new Map<string, string>();
    const clipboardData = {
      setData: (type: string, text: string) => data.set(type, text),
      getData: (type: string) => data.get(type) ?? '',
    };
    fireEvent.copy(document.body, { clipboardData });
    expect(JSON.parse(data.get('text/plain') ?? '')).toMatchObject({
      format: 'signal-sketchbook/patch',
      blocks: [{ id: 'osc1' }, { id: 'amp1' }],
    });
    fireEvent.paste(document.body, { clipboardData });
    expect(state().patch.blocks).toHaveLength(6);
    expect(cables()).toHaveLength(2);
    data.set('text/plain', 'a shopping list');
    fireEvent.paste(document.body, { clipboardData });
    expect(state().said).toMatchObject({ kind: 'refusal' });
    expect(state().patch.blocks).toHaveLength(6);
  });

  it('renames by F2: Enter keeps, Escape does not', async () => {
    const user = userEvent.setup();
    act(() => block(/^Horn/).focus());
    await user.keyboard('{F2}');
    await user.type(screen.getByRole('textbox', { name: 'Label' }), 'Whistle{Enter}');
    expect(state().patch.blocks[0]?.label).toBe('Whistle');
    act(() => block(/^Whistle/).focus());
    await user.keyboard('{F2}');
    await user.type(screen.getByRole('textbox', { name: 'Label' }), 'Bell{Escape}');
    expect(state().patch.blocks[0]?.label).toBe('Whistle');
    expect(steps()).toHaveLength(1);
  });

  it('offers all that can be done with a block, a cable and a port in menus', async () => {
    const user = userEvent.setup();
    fireEvent.contextMenu(block(/^Gate/), { clientX: 10, clientY: 10 });
    await user.click(await screen.findByRole('menuitem', { name: 'Clip a probe here' }));
    expect(state().patch.probes).toEqual([{ at: ['amp1', 'out'] }]);
    expect(app.view.getState().trayShown).toBe(true);

    fireEvent.contextMenu(document.querySelector('[data-cable="amp1.in"]') as Element, { clientX: 10, clientY: 10 });
    await user.click(await screen.findByRole('menuitem', { name: /Remove the cable/ }));
    expect(cables()).toEqual([]);

    fireEvent.contextMenu(outPort('osc1.saw'), { clientX: 10, clientY: 10 });
    expect(await screen.findByRole('menuitem', { name: /Run a cable from here/ })).toBeInTheDocument();
  });

  it('puts only the focused block and its ports in the way of Tab', () => {
    act(() => block(/^Gate/).focus());
    const reachable = [...document.querySelectorAll<HTMLElement>('.port[tabindex="0"]')].map((element) => element.dataset.block);
    expect(new Set(reachable)).toEqual(new Set(['amp1']));
  });

  it('draws no other block again when one is edited', async () => {
    const symbols = () => [...document.querySelectorAll('.block-drawing')];
    const before = symbols();
    act(() => app.session.select(['osc1']));
    act(() => app.sketch.current?.place('lfo'));
    await waitFor(() => expect(symbols()).toHaveLength(5));
    expect(symbols().slice(0, 4)).toEqual(before);
  });
});

describe('an empty sketch', () => {
  it('says what to do', () => {
    act(() => app.session.open({ blocks: [], cables: [] }));
    expect(screen.getByText(/Choose a function from the list/)).toBeInTheDocument();
  });
});
