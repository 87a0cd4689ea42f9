import { act, fireEvent, render, screen } from '@testing-library/react';
import { describe, expect, it, vi } from 'vitest';
import { specs } from '../../blocks/specs.gen.ts';
import { symbols } from '../../blocks/symbols.gen.ts';
import { setDetails } from '../../patch/commands/index.ts';
import type { Patch } from '../../patch/document.ts';
import { type App, AppContext } from '../app.ts';
import { createApp } from '../createApp.ts';
import { SheetPage } from './SheetPage.tsx';

const patch: Patch = {
  title: 'Harbour bell',
  blocks: [
    { id: 'osc1', type: 'oscillator', label: 'Low voice', settings: { tune: 110 } },
    { id: 'out1', type: 'output' },
  ],
  cables: [{ from: ['osc1', 'sine'], to: ['out1', 'left'] }],
};

function show(): App {
  const app = createApp({ specs, symbols, patch });
  render(
    <AppContext value={app}>
      <SheetPage />
    </AppContext>,
  );
  return app;
}
const frame = (): HTMLIFrameElement => document.querySelector('iframe')!;

describe('the sheet page', () => {
  it('shows the sheet of the open patch in a frame without scripts, and follows its edits', async () => {
    const app = show();
    expect(frame()).toHaveAttribute('sandbox', 'allow-same-origin');
    expect(frame().srcdoc).toContain('Low voice');
    await act(async () => {
      app.session.run(setDetails(app.session.getState().patch, app.catalogue, { details: { title: 'Night bell' } }));
    });
    expect(frame().title).toBe('Patch sheet of Night bell');
    expect(frame().srcdoc).toContain('Night bell');
  });

  it('prints just the sheet, whoever asks for print, under its title', () => {
    document.title = 'Signal Sketchbook';
    show();
    expect(document.querySelector('.print-host')).toBeNull();
    fireEvent(window, new Event('beforeprint'));
    const host = document.querySelector('.print-host');
    expect(host?.shadowRoot?.querySelector('h1')?.textContent).toBe('Harbour bell');
    expect(host?.shadowRoot?.textContent).toContain('110 Hz');
    expect(host?.querySelector('style')?.textContent).toMatch(/^@page \{/);
    expect(document.title).toBe('Harbour bell');
    fireEvent(window, new Event('afterprint'));
    expect(document.querySelector('.print-host')).toBeNull();
    expect(document.title).toBe('Signal Sketchbook');
  });

  it('leaves print alone once it is left', () => {
    const app = createApp({ specs, symbols, patch });
    const { unmount } = render(
      <AppContext value={app}>
        <SheetPage />
      </AppContext>,
    );
    unmount();
    fireEvent(window, new Event('beforeprint'));
    expect(document.querySelector('.print-host')).toBeNull();
  });

  it('has one press for print and one for saving', () => {
    const print = vi.fn();
    vi.stubGlobal('print', print);
    show();
    fireEvent.click(screen.getByRole('button', { name: 'Print' }));
    expect(print).toHaveBeenCalledOnce();
    expect(screen.getByRole('button', { name: 'Save as HTML' })).toBeInTheDocument();
  });
});
