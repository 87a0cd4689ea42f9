// @vitest-environment jsdom
import { describe, expect, it } from 'vitest';
import { madeUpCatalogue, madeUpSpec, madeUpSymbols, randomDrawing } from '../../../tests/support/randomDrawing.ts';
import { type BlockSpec, createCatalogue } from '../../patch/blockSpec.ts';
import type { Patch } from '../../patch/document.ts';
import { signalKinds } from './kinds.ts';
import { lineStyles } from './lineStyles.ts';
import { placeSymbol, symbolSvg } from './symbolSvg.ts';
import { drawingSvg } from './toSvg.ts';

function parse(svg: string): Document {
  const picture = new DOMParser().parseFromString(svg, 'image/svg+xml');
  expect(picture.querySelector('parsererror')).toBeNull();
  return picture;
}

const ring: Patch = {
  title: 'Gulls <b>& "ferries"</b>',
  blocks: [
    { id: 'v', type: 'voice', label: 'Gull <1>', at: [80, 80] },
    { id: 's', type: 'sum', at: [240, 80] },
    { id: 'g', type: 'gain', at: [400, 80] },
    { id: 'r', type: 'row', at: [80, 240] },
  ],
  cables: [
    { from: ['v', 'out1'], to: ['s', 'in1'] },
    { from: ['s', 'out1'], to: ['g', 'in1'] },
    { from: ['g', 'out1'], to: ['s', 'in2'] },
    { from: ['r', 'out1'], to: ['v', 'in1'] },
    { from: ['r', 'out2'], to: ['r', 'in1'] },
  ],
};

describe('the drawing of a patch', () => {
  it('is a well-formed picture with a title and a description, whatever the texts hold', () => {
    const picture = parse(drawingSvg(ring, madeUpCatalogue, madeUpSymbols));
    const svg = picture.documentElement;
    expect(svg.getAttribute('role')).toBe('img');
    const [title, desc] = (svg.getAttribute('aria-labelledby') ?? '').split(' ').map((id) => picture.getElementById(id));
    expect(title?.textContent).toBe('Gulls <b>& "ferries"</b>');
    expect(desc?.textContent).toContain('4 blocks and 5 cables');
    expect(picture.querySelector('b')).toBeNull();
    expect([...picture.querySelectorAll('text')].map((text) => text.textContent)).toContain('Gull <1>');
  });

  it('needs nothing from outside and is black on white in print', () => {
    const svg = drawingSvg(ring, madeUpCatalogue, madeUpSymbols);
    expect(svg).not.toMatch(/href|url\(|<style|<script|var\(/);
    const colours = new Set([...svg.matchAll(/(?:stroke|fill)="([^"]+)"/g)].map((match) => match[1]));
    expect([...colours].sort()).toEqual(['#000', '#333', '#fff', 'none']);
    expect(drawingSvg(ring, madeUpCatalogue, madeUpSymbols, { theme: 'screen' })).toContain('var(--line-audio');
  });

  it('tells the kinds apart by the line: thick, thin, dashed, double', () => {
    expect(new Set(Object.values(lineStyles).map(({ width, dash, core }) => JSON.stringify([width, dash, core]))).size).toBe(4);
    const svg = drawingSvg(ring, madeUpCatalogue, madeUpSymbols);
    expect(svg.match(/stroke-dasharray="4.5 3"/g)?.length).toBe(1);
    expect(svg.match(new RegExp(`stroke="#fff" stroke-width="${lineStyles.pitch.core}"`, 'g'))?.length).toBe(1);
    expect(svg.match(new RegExp(`stroke-width="${lineStyles.audio.width}"`, 'g'))?.length).toBe(3);
  });

  it('marks the cables that close loops, and only those', () => {
    const count = (patch: Patch): number => drawingSvg(patch, madeUpCatalogue, madeUpSymbols).match(/−1/g)?.length ?? 0;
    expect(count(ring)).toBe(2);
    expect(count({ ...ring, cables: ring.cables.slice(0, 2) })).toBe(0);
  });

  it('holds everything within its view', () => {
    const { patch } = randomDrawing(5, 20, 30);
    const picture = parse(drawingSvg(patch, madeUpCatalogue, madeUpSymbols));
    const [x = 0, y = 0, width = 0, height = 0] = (picture.documentElement.getAttribute('viewBox') ?? '').split(' ').map(Number);
    const lines = [...picture.querySelectorAll('path[stroke-width="2.4"]')];
    expect(lines.length).toBeGreaterThan(10);
    for (const line of lines) {
      // Corner points alone: arc parameters are no places.
      for (const match of (line.getAttribute('d') ?? '').matchAll(/[ML]([-\d.]+) ([-\d.]+)/g)) {
        const [px, py] = [Number(match[1]), Number(match[2])];
        expect(px >= x && px <= x + width && py >= y && py <= y + height).toBe(true);
      }
    }
  });

  it('of an empty patch is an empty picture', () => {
    expect(parse(drawingSvg({ blocks: [], cables: [] }, madeUpCatalogue, madeUpSymbols)).querySelectorAll('path').length).toBe(0);
  });
});

describe('kinds of signals', () => {
  const through: BlockSpec = {
    ...madeUpSpec('through', ['audio', 'audio'], ['audio']),
    flows: [{ from: ['in1', 'in2'], to: ['out1'], keepsKind: true }],
  };
  const catalogue = createCatalogue([
    through,
    madeUpSpec('slow', [], ['control']),
    madeUpSpec('tone', [], ['audio']),
    madeUpSpec('hold', ['audio'], ['control']),
  ]);
  const kinds = (cables: Patch['cables']) =>
    signalKinds(
      { blocks: ['through', 'slow', 'tone', 'hold'].map((type) => ({ id: type, type })).concat({ id: 'second', type: 'through' }), cables },
      catalogue,
    );

  it('pass through blocks that keep the kind', () => {
    const slow = kinds([
      { from: ['slow', 'out1'], to: ['through', 'in1'] },
      { from: ['through', 'out1'], to: ['second', 'in1'] },
      { from: ['second', 'out1'], to: ['hold', 'in1'] },
    ]);
    expect(slow.get('through.out1')).toBe('control');
    expect(slow.get('second.out1')).toBe('control');
  });

  it('are sound as soon as sound is among them, and as the spec says when nothing comes in or the block does not keep the kind', () => {
    const mixed = kinds([
      { from: ['slow', 'out1'], to: ['through', 'in1'] },
      { from: ['tone', 'out1'], to: ['through', 'in2'] },
      { from: ['through', 'out1'], to: ['hold', 'in1'] },
      { from: ['hold', 'out1'], to: ['second', 'in1'] },
    ]);
    expect(mixed.get('through.out1')).toBe('audio');
    expect(mixed.get('hold.out1')).toBe('control');
    expect(kinds([{ from: ['through', 'out1'], to: ['hold', 'in1'] }]).get('through.out1')).toBe('audio');
  });

  it('are found in loops', () => {
    const loop = kinds([
      { from: ['slow', 'out1'], to: ['through', 'in1'] },
      { from: ['second', 'out1'], to: ['through', 'in2'] },
      { from: ['through', 'out1'], to: ['second', 'in1'] },
    ]);
    expect([loop.get('through.out1'), loop.get('second.out1')]).toEqual(['control', 'control']);
  });
});

describe('symbols', () => {
  const box = {
    width: 64,
    height: 48,
    outline: 'M 0 0 L 1 0 L 1 1 L 0 1 Z',
    marks: [
      { path: 'M 0.25 0.5 L 0.75 0.5', dashed: true },
      { text: '&', x: 0.5, y: 0.5, size: 0.25 },
    ],
  };

  it('are stretched when they are boxes, their marks are not', () => {
    const placed = placeSymbol(box, { x: 0, y: 0, width: 64, height: 112 });
    expect(placed.outline).toBe('M0 0L64 0L64 112L0 112Z');
    expect(placed.marks[0]).toMatchObject({ path: 'M16 56L48 56', dashed: true, weight: 1 });
    expect(placed.marks[1]).toEqual({ text: '&', x: 32, y: 56, size: 12 });
  });

  it('keep their shape otherwise', () => {
    const triangle = { width: 48, height: 48, outline: 'M 0 0 L 1 0.5 L 0 1 Z', marks: [] };
    expect(placeSymbol(triangle, { x: 0, y: 0, width: 48, height: 96 }).outline).toBe('M0 24L48 48L0 72Z');
  });

  it('escape their text', () => {
    expect(symbolSvg(box, { x: 0, y: 0, width: 64, height: 48 }, { ink: '#000', paper: '#fff', line: 1 })).toContain('>&amp;<');
  });
});
