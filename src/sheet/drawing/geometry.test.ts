// @vitest-environment node
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { BlockSpec, SignalKind } from '../../patch/blockSpec.ts';
import type { BlockSymbol } from '../../patch/symbol.ts';
import { blockGeometry, GRID, LABEL_ROOM, portNear, portOf } from './geometry.ts';
import { outlineOf, pathPoints } from './outline.ts';
import { fitText, sansWidth } from './text.ts';

const circle: BlockSymbol = { width: 48, height: 48, outline: 'M 0.5 0 A 0.5 0.5 0 0 1 0.5 1 A 0.5 0.5 0 0 1 0.5 0 Z', marks: [] };
const box: BlockSymbol = { width: 64, height: 48, outline: 'M 0 0 L 1 0 L 1 1 L 0 1 Z', marks: [] };
const triangle: BlockSymbol = { width: 48, height: 48, outline: 'M 0 0 L 1 0.5 L 0 1 Z', marks: [] };

function specWith(left: number, bottom: number, right: number): BlockSpec {
  const port = (kind: SignalKind) => (_: unknown, i: number) => ({ id: `${kind}${i}`, title: kind, kind });
  return {
    type: 'test',
    group: 'shape',
    title: 'Test block',
    say: '',
    part: { one: 'test', many: 'tests' },
    stem: 'test',
    inputs: [...Array.from({ length: left }, port('audio')), ...Array.from({ length: bottom }, port('control'))],
    outputs: Array.from({ length: right }, port('audio')),
    settings: [],
    keySettings: [],
  };
}

describe('geometry of a block', () => {
  it('gives every port a place of its own, on the grid and on the edge of the body', () => {
    fc.assert(
      fc.property(fc.nat(8), fc.nat(8), fc.nat(9), fc.constantFrom(circle, box, triangle), (left, bottom, right, symbol) => {
        const { ports, box: body } = blockGeometry(specWith(left, bottom, right), symbol, [160, 96]);
        expect(ports.length).toBe(left + bottom + right);
        expect(new Set(ports.map((port) => `${port.x},${port.y}`)).size).toBe(ports.length);
        for (const a of ports) {
          expect(Math.abs(a.x % GRID) + Math.abs(a.y % GRID)).toBe(0);
          if (a.edge === 'bottom') {
            expect(a.y).toBe(body.y + body.height);
            expect(a.x > body.x && a.x < body.x + body.width).toBe(true);
          } else {
            expect(a.x).toBe(a.edge === 'left' ? body.x : body.x + body.width);
            expect(a.y > body.y && a.y < body.y + body.height).toBe(true);
          }
        }
      }),
      { seed: 1 },
    );
  });

  it('leads each port to the outline of the symbol', () => {
    fc.assert(
      fc.property(fc.nat(6), fc.nat(6), fc.nat(8), (left, bottom, right) => {
        const { ports, symbol } = blockGeometry(specWith(left, bottom, right), circle, [0, 0]);
        for (const port of ports) {
          // A circle about the middle: each lead ends at its radius (a 48-sided polygon stands in for it).
          const share = Math.hypot(port.lead[0], port.lead[1]) / (symbol.width / 2);
          expect(share).toBeGreaterThan(0.995);
          expect(share).toBeLessThan(1.001);
        }
      }),
      { seed: 1 },
    );
  });

  it('keeps the natural size while the ports fit and grows beyond', () => {
    expect(blockGeometry(specWith(1, 1, 1), circle, [0, 0]).box).toEqual({ x: -24, y: -24, width: 48, height: 48 });
    expect(blockGeometry(specWith(1, 2, 7), box, [0, 0]).box).toEqual({ x: -32, y: -56, width: 64, height: 112 });
    const grown = blockGeometry(specWith(2, 4, 4), circle, [0, 0]);
    expect(grown.box.height).toBe(64);
    expect(grown.symbol.width).toBe(grown.symbol.height);
  });

  it('stands the label above the body, out of the way of control from below', () => {
    const { label, box: body } = blockGeometry(specWith(1, 1, 1), triangle, [100, 100], { label: 'Amplifier', line: 'exponential' });
    expect(label.y + label.height).toBe(body.y);
    expect(label.x + label.width / 2).toBe(100);
    expect(label.lineBaseline).toBeLessThan(body.y);
    expect(label.labelBaseline).toBeLessThan(label.lineBaseline);
  });

  it('shortens a label that is too long', () => {
    const { label } = blockGeometry(specWith(1, 1, 1), triangle, [0, 0], {
      label: 'The long voice of the harbour in winter fog',
      line: '',
    });
    expect(label.label.endsWith('…')).toBe(true);
    expect(label.width).toBeLessThanOrEqual(LABEL_ROOM + 1);
    expect(fitText('Tide', 100, (text) => sansWidth(text, 13))).toBe('Tide');
  });

  it('finds ports by id and by nearness', () => {
    const geometry = blockGeometry(specWith(1, 1, 1), triangle, [0, 0]);
    expect(portOf(geometry, 'output', 'audio0')).toMatchObject({ x: 24, y: 0, out: [1, 0], lead: [24, 0] });
    expect(portOf(geometry, 'input', 'control0')).toMatchObject({ x: 0, y: 24, out: [0, 1], lead: [0, 12] });
    expect(portNear(geometry, [-26, 3], 8)?.id).toBe('audio0');
    expect(portNear(geometry, [-60, 3], 8)).toBeUndefined();
  });
});

describe('outlines', () => {
  it('follow arcs', () => {
    for (const [x, y] of pathPoints(circle.outline)) expect(Math.hypot(x - 0.5, y - 0.5)).toBeCloseTo(0.5, 9);
    expect(outlineOf(circle).boxLike).toBe(false);
    expect(outlineOf(box).boxLike).toBe(true);
  });

  it('refuse commands that symbols do not draw with', () => {
    expect(() => pathPoints('M 0 0 S 1 1 2 2')).toThrow('path command S');
  });
});
