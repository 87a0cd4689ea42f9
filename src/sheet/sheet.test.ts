// @vitest-environment jsdom
import { describe, expect, it } from 'vitest';
import { specs } from '../blocks/specs.gen.ts';
import { symbols } from '../blocks/symbols.gen.ts';
import { createCatalogue } from '../patch/blockSpec.ts';
import type { Patch } from '../patch/document.ts';
import { cautionsFor } from './cautions.ts';
import { patchingOrder } from './patchingOrder.ts';
import { sheetHtml } from './sheet.ts';

const catalogue = createCatalogue(specs);

const patch: Patch = {
  title: 'Fog & <horn>',
  summary: 'One note in the fog.',
  notes: '# Listen for\nThe *beat* of two horns.',
  seed: 5,
  seconds: 8,
  author: 'Evening <class>',
  date: '2026-11-25',
  licence: 'CC0-1.0',
  blocks: [
    { id: 'out1', type: 'output', label: 'Out', at: [640, 80], settings: { ceiling: false } },
    { id: 'osc1', type: 'oscillator', label: 'North horn', at: [80, 80], settings: { tune: 110 } },
    { id: 'osc2', type: 'oscillator', label: 'South horn', at: [80, 240], settings: { tune: 1250, fine: 4 } },
    { id: 'mix1', type: 'mixer', label: 'Harbour', at: [240, 80], settings: { level2: 0.25 } },
    { id: 'amp1', type: 'vca', label: 'Door', at: [480, 80], settings: { level: 0.5, response: 'exponential' } },
    { id: 'seq1', type: 'sequencer', at: [80, 400], settings: { length: 2, steps: [{ pitch: 1 }, { pitch: -1, gate: false }] } },
    { id: 'clk1', type: 'clock', at: [80, 560] },
  ],
  cables: [
    { from: ['amp1', 'out'], to: ['out1', 'left'] },
    { from: ['mix1', 'sum'], to: ['amp1', 'in'] },
    { from: ['osc1', 'saw'], to: ['mix1', 'in1'] },
    { from: ['osc2', 'pulse'], to: ['mix1', 'in2'] },
    { from: ['mix1', 'inverted'], to: ['mix1', 'in3'] },
    { from: ['seq1', 'pitch'], to: ['osc1', 'pitch'] },
    { from: ['clk1', 'beat'], to: ['seq1', 'clock'] },
  ],
  score: [{ at: 0.5, note: 57, length: 0.25 }],
  moves: [
    {
      block: 'amp1',
      setting: 'level',
      points: [
        [0, 0.5],
        [6, 1],
      ],
    },
  ],
  probes: [{ at: ['mix1', 'sum'] }],
};

const page = (each: Patch): Document => new DOMParser().parseFromString(sheetHtml(each, catalogue, symbols), 'text/html');
const sheet = page(patch);
const words = (element: Element | null | undefined): string => (element?.textContent ?? '').replace(/\s+/g, ' ').trim();
const section = (title: string): Element | undefined =>
  [...sheet.querySelectorAll('section')].find((each) => words(each.querySelector('h2')).startsWith(title));

describe('the patch sheet', () => {
  it('needs nothing from outside and runs nothing', () => {
    const source = sheetHtml(patch, catalogue, symbols);
    expect(source).not.toMatch(/<script|<link|<img|url\(|@import|src=|\son\w+=/i);
    expect(source.startsWith('<!doctype html>')).toBe(true);
    expect(sheet.querySelector('style')?.textContent).toContain('@page');
  });

  it('shows every text as text', () => {
    expect(words(sheet.querySelector('h1'))).toBe('Fog & <horn>');
    expect(sheet.title).toBe('Fog & <horn>');
    expect(sheet.querySelector('horn')).toBeNull();
    expect(words(sheet.querySelector('.notes em'))).toBe('beat');
    expect(words(sheet.querySelector('.about'))).toBe('By Evening <class> · 2026-11-25 · CC0-1.0 · 8 s, seed 5');
  });

  it('counts the parts in trade words', () => {
    const parts = words(sheet.querySelector('.parts'));
    expect(parts).toContain('2 oscillators');
    expect(parts).toContain('1 mixer');
    expect(parts).toContain('1 clock');
  });

  it('draws the patch with its legend', () => {
    expect(sheet.querySelector('figure svg title')?.textContent).toBe('Fog & <horn>');
    const legend = words(sheet.querySelector('figcaption'));
    expect(legend).toBe('sound gate, trigger or clock pitch');
  });

  it('turns a very wide drawing onto a page of its own at the end', () => {
    expect(sheet.querySelector('figure.wide')).toBeNull();
    const wide = page({ ...patch, blocks: patch.blocks.map((block) => (block.id === 'out1' ? { ...block, at: [1600, 80] } : block)) });
    expect(wide.body.lastElementChild?.matches('figure.wide')).toBe(true);
    expect(wide.querySelectorAll('figure').length).toBe(1);
  });

  it('lists every cable as from and to, sources first', () => {
    const rows = [...(section('Cables')?.querySelectorAll('tbody tr') ?? [])].map((row) =>
      [...row.children].map(words).filter(Boolean).join(' '),
    );
    expect(rows).toEqual([
      '1 Clock, beat Step sequencer, clock',
      '2 Step sequencer, pitch North horn (oscillator), pitch',
      '3 North horn (oscillator), saw Harbour (mixer), in 1',
      '4 South horn (oscillator), pulse Harbour (mixer), in 2',
      '5 Harbour (mixer), inverted sum Harbour (mixer), in 3, closes a loop, z⁻¹',
      '6 Harbour (mixer), sum Door (amplifier (VCA)), in',
      '7 Door (amplifier (VCA)), out Out (output), left',
    ]);
  });

  it('gives every setting that is not at its default, with its unit', () => {
    const rows = [...(section('Settings')?.querySelectorAll('.settings > tbody > tr') ?? [])].map((row) => [...row.children].map(words));
    expect(rows.slice(0, 5)).toEqual([
      ['Out (output)', 'ceiling off'],
      ['North horn (oscillator)', 'tune 110 Hz'],
      ['South horn (oscillator)', 'tune 1.25 kHz, fine +4 ct'],
      ['Harbour (mixer)', 'level 2 0.25'],
      ['Door (amplifier (VCA))', 'level 0.5, response Exponential'],
    ]);
    expect(rows.length).toBe(6);
    const steps = [...(section('Settings')?.querySelectorAll('.steps tbody tr') ?? [])].map((row) => [...row.children].map(words));
    expect(steps).toEqual([
      ['pitch', 'C5', 'C3'],
      ['gate', 'on', 'off'],
    ]);
  });

  it('tells of hand movements, notes, probes and loops', () => {
    const text = words(sheet.body);
    expect(text).toContain('0 s 0.5, 6 s 1');
    expect(text).toContain('A3 at 0.5 s for 0.25 s');
    expect(text).toContain('Look with a scope at: Harbour, sum.');
    expect(text).toContain('The cable from Harbour to Harbour arrives one engine frame late.');
    expect(words(page({ ...patch, cables: patch.cables.filter(({ to }) => to[1] !== 'in3') }).body)).not.toContain('one engine frame late');
  });

  it('carries the cautions, and one more where the ceiling is off', () => {
    expect([...sheet.querySelectorAll('.cautions dt')].map(words)).toEqual(['Hardware', 'Level', 'Hearing', 'Loudspeakers', 'Ceiling']);
    expect(words(sheet.querySelector('.cautions'))).toMatch(/own manual.*power off.*monitor level.*several times line level.*H\.870/);
    expect(cautionsFor({ blocks: [], cables: [] }, catalogue).map(({ about }) => about)).not.toContain('Ceiling');
  });

  it('says at the top when nothing would be heard', () => {
    expect(sheet.querySelector('.fault')).toBeNull();
    const silent = { ...patch, cables: patch.cables.filter(({ to }) => to[0] !== 'out1') };
    expect(words(page(silent).querySelector('.fault'))).toBe(
      'Silent as drawn: Nothing is patched to Out: run a cable to its input "Left".',
    );
  });

  it('of an empty patch is still a page', () => {
    const empty = page({ blocks: [], cables: [] });
    expect(words(empty.querySelector('h1'))).toBe('Untitled patch');
    expect(words(empty.body)).toContain('no parts');
  });
});

it('the patching order does not depend on the order in the file', () => {
  const turned = { blocks: [...patch.blocks].reverse(), cables: [...patch.cables].reverse() };
  expect(patchingOrder(turned, catalogue).cables).toEqual(patchingOrder(patch, catalogue).cables);
});
