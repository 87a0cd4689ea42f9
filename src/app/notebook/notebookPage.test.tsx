import { act, fireEvent, render, screen, waitFor, within } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { beforeEach, describe, expect, it, vi } from 'vitest';
import { specs } from '../../blocks/specs.gen.ts';
import { symbols } from '../../blocks/symbols.gen.ts';
import { createMemoryStore, type NotebookStore } from '../../notebook/store.ts';
import type { Patch } from '../../patch/document.ts';
import { readPatch } from '../../patch/file/read.ts';
import { writePatch } from '../../patch/file/write.ts';
import { type App, AppContext } from '../app.ts';
import { createApp } from '../createApp.ts';
import { FileDrop } from './FileDrop.tsx';
import { NotebookNotes } from './NotebookNotes.tsx';
import { NotebookPage } from './NotebookPage.tsx';
import { PatchTitle } from './PatchTitle.tsx';

const demos: readonly Patch[] = [
  { title: 'Ferry', summary: 'Lights at night', tags: ['crossfade'], blocks: [{ id: 'osc1', type: 'oscillator' }], cables: [] },
  { title: 'Buoy', tags: ['bell', 'crossfade'], blocks: [{ id: 'flt1', type: 'filter' }], cables: [] },
  { title: 'Gull', blocks: [], cables: [] },
];
const bell: Patch = { title: 'Bell', blocks: [{ id: 'out1', type: 'output' }], cables: [] };

async function show(first = demos, openStore: () => Promise<NotebookStore> = async () => createMemoryStore()): Promise<App> {
  const app = createApp({ specs, symbols, demos: () => first, keep: { openStore } });
  await app.notebook.start();
  render(
    <AppContext value={app}>
      <PatchTitle />
      <NotebookPage />
      <NotebookNotes />
      <FileDrop />
    </AppContext>,
  );
  return app;
}

const list = (): HTMLElement => screen.getByRole('list', { name: 'Patches' });
const titles = (): (string | null)[] =>
  within(list())
    .queryAllByRole('heading', { level: 2 })
    .map((heading) => heading.querySelector('button')?.textContent ?? null);
const entry = (title: string): HTMLElement => within(list()).getByRole('button', { name: title });
const menu = async (name: string, item: string): Promise<void> => {
  await userEvent.click(screen.getByRole('button', { name }));
  await userEvent.click(await screen.findByRole('menuitem', { name: item }));
};
const drop = (...files: File[]): void => {
  const dataTransfer = { types: ['Files'], files, dropEffect: 'none' };
  fireEvent.dragOver(window, { dataTransfer });
  fireEvent.drop(window, { dataTransfer });
};
const file = (name: string, text: string): File => new File([text], name);

const saved: { name: string; text: string }[] = [];
vi.mock('../saveFile.ts', async (original) => ({
  ...(await original<typeof import('../saveFile.ts')>()),
  saveFile: (name: string, text: string) => saved.push({ name, text }),
}));
beforeEach(() => {
  saved.length = 0;
});

describe('the notebook page', () => {
  it('lists all patches with summary, tags and time, and marks the open one', async () => {
    await show();
    expect(titles()).toEqual(['Ferry', 'Buoy', 'Gull']);
    expect(screen.getByText('3 patches')).toBeInTheDocument();
    expect(within(list()).getByText('Lights at night')).toBeInTheDocument();
    expect(within(list()).getAllByText('just now')).toHaveLength(3);
    expect(entry('Ferry')).toHaveAttribute('aria-current', 'true');
    expect(entry('Buoy')).not.toHaveAttribute('aria-current');
  });

  it('draws each patch when the page is idle', async () => {
    await show();
    await waitFor(() => expect(document.querySelectorAll('.thumbnail svg')).toHaveLength(2)); // an empty patch has none
  });

  it('finds by words, and by a press on a tag', async () => {
    await show();
    const search = screen.getByRole('searchbox', { name: 'Find a patch' });
    await userEvent.type(search, 'filter');
    await waitFor(() => expect(titles()).toEqual(['Buoy']));
    expect(screen.getByText('1 of 3')).toBeInTheDocument();
    await userEvent.clear(search);
    await userEvent.click(within(entry('Buoy').closest('li')!).getByRole('button', { name: 'crossfade' }));
    await waitFor(() => expect(titles()).toEqual(['Ferry', 'Buoy']));
    await userEvent.type(search, ' zzz');
    await userEvent.click(await screen.findByRole('button', { name: 'Show all' }));
    await waitFor(() => expect(titles()).toHaveLength(3));
  });

  it('opens a patch with a press or Enter and goes to the sketch', async () => {
    const app = await show();
    entry('Buoy').focus();
    await userEvent.keyboard('{Enter}');
    await waitFor(() => expect(app.view.getState().page).toBe('sketch'));
    expect(app.session.getState().patch.title).toBe('Buoy');
    expect(entry('Buoy')).toHaveAttribute('aria-current', 'true');
  });

  it('renames in place: Enter keeps, Escape does not', async () => {
    await show();
    entry('Buoy').focus();
    await userEvent.keyboard('{F2}');
    const field = screen.getByRole('textbox', { name: 'Title' });
    await waitFor(() => expect(field).toHaveFocus());
    await userEvent.clear(field);
    await userEvent.type(field, 'Bell buoy{Enter}');
    await waitFor(() => expect(titles()).toContain('Bell buoy'));
    await waitFor(() => expect(entry('Bell buoy')).toHaveFocus());
    await userEvent.keyboard('{F2}');
    await userEvent.type(screen.getByRole('textbox', { name: 'Title' }), 'x{Escape}');
    expect(titles()).toEqual(['Bell buoy', 'Ferry', 'Gull']);
  });

  it('moves with the arrow keys and duplicates with Ctrl D', async () => {
    await show();
    entry('Ferry').focus();
    await userEvent.keyboard('{ArrowDown}{ArrowDown}{ArrowDown}{ArrowUp}');
    expect(entry('Buoy')).toHaveFocus();
    await userEvent.keyboard('{Control>}d{/Control}');
    await waitFor(() => expect(titles()).toEqual(['Buoy (copy)', 'Ferry', 'Buoy', 'Gull']));
    await waitFor(() => expect(entry('Buoy (copy)')).toHaveFocus());
  });

  it('deletes with a way back: Undo, the undo key, and the list of deleted patches', async () => {
    await show();
    entry('Buoy').focus();
    await userEvent.keyboard('{Delete}');
    await waitFor(() => expect(titles()).toEqual(['Ferry', 'Gull']));
    await waitFor(() => expect(entry('Gull')).toHaveFocus());
    expect(screen.getByText('"Buoy" was deleted.')).toBeInTheDocument();
    await userEvent.click(screen.getByRole('button', { name: 'Undo' }));
    await waitFor(() => expect(titles()).toEqual(['Ferry', 'Buoy', 'Gull']));
    expect(screen.queryByText('"Buoy" was deleted.')).toBeNull();

    await menu('More for Gull', 'Delete');
    await waitFor(() => expect(titles()).toEqual(['Ferry', 'Buoy']));
    fireEvent.keyDown(window, { key: 'z', ctrlKey: true });
    await waitFor(() => expect(titles()).toEqual(['Ferry', 'Buoy', 'Gull']));

    await menu('More for Gull', 'Delete');
    await menu('More for Buoy', 'Delete');
    await waitFor(() => expect(titles()).toEqual(['Ferry']));
    await userEvent.click(screen.getByText('Recently deleted (2)'));
    await userEvent.click(screen.getByRole('button', { name: 'Bring back Gull' }));
    await waitFor(() => expect(titles()).toEqual(['Ferry', 'Gull']));
    await userEvent.click(screen.getByRole('button', { name: 'Delete Buoy for good' }));
    await waitFor(() => expect(screen.queryByText(/Recently deleted/)).toBeNull());
  });

  it('says what to do when it is empty', async () => {
    const app = await show([]);
    await act(() => app.notebook.purge([...app.notebook.getState().records.keys()]));
    expect(screen.getByText('The notebook is empty.')).toBeInTheDocument();
    await userEvent.click(screen.getAllByRole('button', { name: 'New patch' })[1]!);
    expect(app.view.getState().page).toBe('sketch');
  });

  it('brings the demo patches back', async () => {
    await show();
    await menu('More for Gull', 'Delete');
    await menu('More for the notebook', 'Bring back the demo patches');
    await waitFor(() => expect(titles()).toEqual(['Gull', 'Ferry', 'Buoy']));
  });

  it('exports what can be read again', async () => {
    const app = await show();
    await menu('More for Buoy', 'Export as .patch.json');
    expect(saved).toHaveLength(1);
    expect(saved[0]?.name).toBe('buoy.patch.json');
    expect(readPatch(saved[0]?.text ?? '', app.catalogue)).toEqual({ patch: demos[1] });
  });
});

describe('dropping files on the page', () => {
  it('opens a single patch', async () => {
    const app = await show();
    drop(file('bell.patch.json', writePatch(bell)));
    await waitFor(() => expect(app.session.getState().patch).toEqual(bell));
    expect(titles()).toEqual(['Bell', 'Ferry', 'Buoy', 'Gull']);
    expect(app.view.getState().page).toBe('sketch');
  });

  it('shows each refusal with file, path and sentence, and takes over nothing of it', async () => {
    const app = await show();
    app.view.setState({ page: 'sketch' });
    const bad = writePatch(bell).replace('"output"', '"loudhailer"');
    drop(file('bad.patch.json', bad), file('tides.txt', 'High water'));
    const alert = await screen.findByRole('alert', { name: 'Refused files' });
    expect(within(alert).getByRole('heading', { name: '2 files were refused' })).toBeInTheDocument();
    expect(within(alert).getByText('blocks[0].type')).toBeInTheDocument();
    expect(within(alert).getByText(/loudhailer/)).toBeInTheDocument();
    expect(within(alert).getByText(/not JSON/)).toBeInTheDocument();
    expect(titles()).toEqual(['Ferry', 'Buoy', 'Gull']);
    expect(app.view.getState().page).toBe('notebook');
    await userEvent.click(within(alert).getByRole('button', { name: 'Put away' }));
    expect(screen.queryByRole('alert')).toBeNull();
  });
});

describe('the title in the header', () => {
  it('renames the open patch', async () => {
    const app = await show();
    await userEvent.click(screen.getByRole('heading', { level: 1, name: 'Ferry' }).querySelector('button')!);
    const field = screen.getByRole('textbox', { name: 'Title' });
    await waitFor(() => expect(field).toHaveFocus());
    await userEvent.clear(field);
    await userEvent.type(field, 'Night ferry{Enter}');
    await waitFor(() => expect(app.session.getState().patch.title).toBe('Night ferry'));
    expect(document.title).toContain('Night ferry');
  });

  it('duplicates and opens the copy', async () => {
    const app = await show();
    await menu('More for this patch', 'Duplicate this patch');
    await waitFor(() => expect(app.session.getState().patch.title).toBe('Ferry (copy)'));
  });
});

describe('notes', () => {
  it('say plainly that nothing can be kept, and offer the export', async () => {
    await show(demos, () => Promise.reject(new Error('denied')));
    expect(screen.getByText(/does not let the page keep anything/)).toBeInTheDocument();
    await userEvent.click(screen.getByRole('button', { name: 'Export the open patch' }));
    expect(saved[0]?.name).toBe('ferry.patch.json');
    await userEvent.click(screen.getByRole('button', { name: 'Go on' }));
    expect(screen.queryByText(/does not let the page keep anything/)).toBeNull();
  });

  it('offer three ways when another tab was quicker', async () => {
    const app = await show();
    act(() => app.notebook.setState({ newerElsewhere: true }));
    expect(screen.getByText(/changed in another tab/)).toBeInTheDocument();
    await userEvent.click(screen.getByRole('button', { name: 'Keep this one as a copy' }));
    expect(app.session.getState().patch.title).toBe('Ferry (copy)');
    expect(screen.queryByText(/changed in another tab. What/)).toBeNull();
  });
});
