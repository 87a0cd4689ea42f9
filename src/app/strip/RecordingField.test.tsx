import { act, fireEvent, screen, waitFor, within } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { describe, expect, it, vi } from 'vitest';
import { renderIn, smallSymbols } from '../../../tests/support/smallApp.tsx';
import { smallCatalogue } from '../../../tests/support/smallCatalogue.ts';
import { encodeWav } from '../../notebook/wav.ts';
import type { BlockSpec } from '../../patch/blockSpec.ts';
import type { Patch } from '../../patch/document.ts';
import { createApp } from '../createApp.ts';
import { FileDrop } from '../notebook/FileDrop.tsx';
import { Strip } from './Strip.tsx';

const digest = async (bytes: Uint8Array): Promise<string> => bytes.length.toString(16).padStart(64, '0');
const fog = new File([encodeWav([new Float32Array(4800)], 48000, '16')], 'Fog horn.wav', { type: 'audio/wav' });
const letter = new File(['Dear harbour master'], 'Letter.txt', { type: 'text/plain' });

const external: BlockSpec = {
  ...(smallCatalogue.get('lfo') as BlockSpec),
  type: 'external',
  title: 'Live input',
  inputs: [],
  settings: [],
  keySettings: [],
  liveInput: true,
};
const quay: Patch = {
  blocks: [
    { id: 'p1', type: 'samplePlayer' },
    { id: 'p2', type: 'samplePlayer' },
    { id: 'mic1', type: 'external' },
  ],
  cables: [],
};

async function stage(patch = quay, selected = 'p1') {
  const specs = [...smallCatalogue.values(), external];
  const symbols = { ...smallSymbols, external: smallSymbols.lfo as NonNullable<(typeof smallSymbols)[string]> };
  const app = createApp({ specs, symbols, soundFiles: { decode: async () => undefined, digest } });
  await app.notebook.start();
  app.session.open(patch);
  app.session.select([selected]);
  renderIn(
    app,
    <>
      <Strip />
      <FileDrop />
    </>,
  );
  return app;
}
const field = (): HTMLElement => screen.getByRole('region', { name: 'Sound file' });
const drop = (target: Element, file: File) => fireEvent.drop(target, { dataTransfer: { files: [file], types: ['Files'] } });

describe('the field of a sound file', () => {
  it('says what it takes, takes a file that is dropped on it, and shows its name and length', async () => {
    const app = await stage();
    expect(field()).toHaveTextContent(/drop it here.*30 seconds and 10 MB/);
    fireEvent.dragOver(field(), { dataTransfer: { files: [], types: ['Files'] } });
    expect(field()).toHaveAttribute('data-over', 'true');
    drop(field(), fog);
    await within(field()).findByText('Fog horn.wav');
    expect(field()).toHaveTextContent('0.1 s');
    expect(field()).toHaveAttribute('data-over', 'false');
    expect(within(field()).getByRole('img', { name: 'Outline of Fog horn.wav' })).toBeInTheDocument();
    expect(app.session.getState().patch.blocks[0]?.settings).toEqual({ recording: 'fog-horn' });
    // The page itself, which takes patch files, has left this one alone.
    expect(app.notebook.getState().refused).toEqual([]);
  });

  it('lets the page take what is dropped beside it', async () => {
    const app = await stage();
    drop(document.body, letter);
    await waitFor(() => expect(app.notebook.getState().refused).toHaveLength(1));
    expect(app.session.getState().patch.recordings).toBeUndefined();
  });

  it("opens the browser's own list of files, for sound alone", async () => {
    await stage();
    const opened: HTMLInputElement[] = [];
    vi.spyOn(HTMLInputElement.prototype, 'click').mockImplementation(function (this: HTMLInputElement) {
      opened.push(this);
    });
    fireEvent.click(within(field()).getByRole('button', { name: 'Choose a sound file' }));
    const [input] = opened;
    expect(input).toMatchObject({ type: 'file', accept: 'audio/*,.wav' });
    Object.defineProperty(input, 'files', { value: [fog] });
    fireEvent.change(input as HTMLInputElement);
    await within(field()).findByText('Fog horn.wav');
  });

  it('says in its place why a file is refused', async () => {
    await stage();
    drop(field(), letter);
    expect(await within(field()).findByRole('alert')).toHaveTextContent('The browser cannot read "Letter.txt" as a sound file.');
  });

  it('removes the file, and offers the other files of the patch', async () => {
    const app = await stage();
    drop(field(), fog);
    await within(field()).findByText('Fog horn.wav');
    act(() => app.session.select(['p2']));
    await userEvent.selectOptions(within(field()).getByRole('combobox'), 'Fog horn.wav');
    expect(app.session.getState().patch.blocks.map(({ settings }) => settings?.recording)).toEqual(['fog-horn', 'fog-horn', undefined]);
    await userEvent.click(within(field()).getByRole('button', { name: 'Remove Fog horn.wav' }));
    expect(app.session.getState().patch.blocks[1]).not.toHaveProperty('settings');
    expect(app.session.getState().patch.recordings).toHaveLength(1);
    act(() => app.session.undo());
    expect(field()).toHaveTextContent('Fog horn.wav');
  });

  it('says that a file is missing and lets the person choose it again', async () => {
    const sha256 = await digest(new Uint8Array(await fog.arrayBuffer()));
    const app = await stage({
      ...quay,
      recordings: [{ id: 'fog', name: 'Fog horn.wav', sha256, seconds: 0.1 }],
      blocks: [{ id: 'p1', type: 'samplePlayer', settings: { recording: 'fog' } }],
    });
    expect(await within(field()).findByRole('alert')).toHaveTextContent(/not in this notebook.*Choose the same file again/);
    expect(within(field()).getByRole('button', { name: 'Choose it again' })).toBeEnabled();
    expect(within(field()).queryByRole('button', { name: 'Save as WAV' })).toBeNull();
    const before = app.session.getState().patch;
    drop(field(), fog);
    await within(field()).findByRole('button', { name: 'Save as WAV' });
    expect(within(field()).queryByRole('alert')).toBeNull();
    expect(app.session.getState().patch).toBe(before);
  });
});

describe('the field of the live input', () => {
  it('is shut at first, with the caution beside its button', async () => {
    const app = await stage(quay, 'mic1');
    const panel = within(screen.getByRole('region', { name: 'Microphone or line input' }));
    expect(panel.getByRole('status')).toHaveTextContent('Shut');
    const button = panel.getByRole('button', { name: 'Use the microphone or line input' });
    expect(button).toHaveAccessibleDescription(/feedback.*headphones/i);
    await userEvent.click(button);
    expect(app.liveInput.getState().status).toBe('waiting');
    expect(panel.getByRole('status')).toHaveTextContent('It opens as soon as you press Listen.');
    await userEvent.click(panel.getByRole('button', { name: 'Shut it' }));
    expect(app.liveInput.getState().status).toBe('off');
  });
});
