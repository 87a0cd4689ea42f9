// @vitest-environment node
import { describe, expect, it } from 'vitest';
import type { Cable } from '../../patch/document.ts';
import { aimCabling, endCabling, fits, type PortRef, startCabling } from './cabling.ts';

const sine: PortRef = { place: ['osc1', 'sine'], side: 'output' };
const left: PortRef = { place: ['out1', 'left'], side: 'input' };
const right: PortRef = { place: ['out1', 'right'], side: 'input' };
const cables: readonly Cable[] = [{ from: sine.place, to: left.place }];

describe('running a cable', () => {
  it.each(['drag', 'click', 'keys'] as const)('connects an output with an input by %s, whichever end comes first', (how) => {
    const cable = { from: sine.place, to: right.place };
    expect(endCabling(aimCabling(startCabling(sine, how, []), [0, 0], right))).toEqual({ kind: 'connect', cable });
    expect(endCabling(aimCabling(startCabling(right, how, []), [0, 0], sine))).toEqual({ kind: 'connect', cable });
  });

  it('does not take two ends of the same side', () => {
    const cabling = startCabling(left, 'click', []);
    expect(fits(cabling, right)).toBe(false);
    expect(endCabling(aimCabling(cabling, [0, 0], right))).toEqual({ kind: 'nothing' });
  });

  it('loses its target when the loose end moves on', () => {
    const near = aimCabling(startCabling(sine, 'drag', []), [1, 1], left);
    expect(endCabling(aimCabling(near, [90, 90], undefined))).toEqual({ kind: 'nothing' });
  });

  it('lifts the cable out of an occupied input by drag: to another input it moves, to nothing it is unplugged, back it stays', () => {
    const lifted = startCabling(left, 'drag', cables);
    expect(lifted).toMatchObject({ from: sine, lifted: left.place });
    expect(endCabling(aimCabling(lifted, [0, 0], right))).toEqual({
      kind: 'connect',
      cable: { from: sine.place, to: right.place },
      lifted: left.place,
    });
    expect(endCabling(aimCabling(lifted, [0, 0], undefined))).toEqual({ kind: 'unplug', input: left.place });
    expect(endCabling(aimCabling(lifted, [0, 0], left))).toEqual({ kind: 'nothing' });
  });

  it('begins a new cable at an occupied input by click or keys', () => {
    expect(startCabling(left, 'click', cables)).toEqual({ from: left, how: 'click' });
    expect(startCabling(left, 'keys', cables)).toEqual({ from: left, how: 'keys' });
  });
});
