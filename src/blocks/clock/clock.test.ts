// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { falls, gateSignal, rises } from '../../../tests/support/edges.ts';
import { publishedTable } from '../../../tests/support/publishedTable.ts';
import { runKernel } from '../../../tests/support/runKernel.ts';
import { worst } from '../../../tests/support/worst.ts';
import { spec } from './spec.ts';

describe('tempo', () => {
  // clock_bpm.csv: quarter = 60 / bpm s, sixteenth = quarter / 4, 24 ticks to the quarter (as in MIDI clock)
  it.each(publishedTable('clock_bpm'))('$bpm bpm: pulses at the published intervals', async (row) => {
    const rate = 48000;
    const seconds = 4;
    const out = await runKernel(spec, { sampleRate: rate, frames: rate * seconds, settings: { bpm: row.bpm! } });
    for (const [id, interval] of [
      ['beat', row.quarter_s!],
      ['eighth', row.quarter_s! / 2],
      ['sixteenth', row.sixteenth_s!],
      ['ppqn24', row.tick_24ppqn_s!],
    ] as const) {
      const found = rises(out[id]!);
      expect(found).toHaveLength(Math.ceil(seconds / interval - 1e-3));
      // half a frame for the rounding, and the table's own rounding to 1 ns on each interval
      expect(worst(found.length, (k) => Math.max(Math.abs(found[k]! - k * interval * rate) - k * 1e-9 * rate, 0))).toBeLessThanOrEqual(0.5);
    }
  });

  it.each([
    [4000, 127.3],
    [3000, 399.9],
  ] as const)('no drift after an hour (%i Hz, %f bpm)', async (rate, bpm) => {
    const { sixteenth } = await runKernel(spec, { sampleRate: rate, frames: rate * 3600, settings: { bpm }, outputs: ['sixteenth'] });
    const found = rises(sixteenth!);
    expect(found).toHaveLength(Math.ceil((bpm / 15) * 3600 - 1e-6));
    for (const [k, frame] of found.entries())
      if (frame !== Math.round((k * 15 * rate) / bpm)) expect([k, frame]).toEqual([k, Math.round((k * 15 * rate) / bpm)]);
  });

  it('one volt at an amount of 1 doubles it, also at quality 4', async () => {
    const { beat } = await runKernel(spec, {
      quality: 4,
      frames: 4 * 48000,
      settings: { bpm: 120, tempoAmount: 1 },
      inputs: { tempoCv: 1 },
      outputs: ['beat'],
    });
    expect(rises(beat!)).toEqual([0, 48000, 96000, 144000]);
  });

  it('a change moves what is to come and keeps the place', async () => {
    // half a beat at 120 bpm, then the other half at 60 bpm
    const { beat } = await runKernel(spec, { frames: 80000, inputs: { tempoCv: (n) => (n < 12000 ? 0 : -2) } });
    expect(rises(beat!)).toEqual([0, 12000 + 24000, 12000 + 24000 + 48000].filter((n) => n < 80000));
  });

  it('an audio-rate tempo voltage adds up frame by frame', async () => {
    const volts = (n: number): number => 2 * Math.sin(n * 0.3);
    const { ppqn24 } = await runKernel(spec, {
      frames: 48000,
      settings: { tempoAmount: 0.7 },
      inputs: { tempoCv: volts },
      outputs: ['ppqn24'],
    });
    const found = rises(ppqn24!);
    let tick = 0;
    const exact: number[] = [];
    for (let n = 0; n < 48000; n++) {
      const step = (48 * 2 ** (0.7 * Math.fround(volts(n)))) / 48000;
      while (exact.length <= tick + step) exact.push(n + (exact.length - tick) / step);
      tick += step;
    }
    expect(found.length).toBeGreaterThan(45);
    for (const [k, frame] of found.entries()) expect(Math.abs(frame - exact[k]!)).toBeLessThanOrEqual(1);
  });
});

describe('swing', () => {
  // clock_swing.csv: share of each pair of sixteenths taken by the first one (R. Linn, Attack Magazine, July 2013)
  it.each(publishedTable('clock_swing').filter((row) => row.bpm === 60 || row.bpm === 174))('$swing_percent % at $bpm bpm', async (row) => {
    const rate = 48000;
    const settings = { bpm: row.bpm!, swing: Math.min(row.swing_percent! / 100, 0.75) };
    const { sixteenth, eighth } = await runKernel(spec, { sampleRate: rate, frames: rate * 2, settings });
    const pair = row.first_s! + row.second_s!;
    const found = rises(sixteenth!);
    for (const [k, frame] of found.entries()) {
      const t = Math.floor(k / 2) * pair + (k % 2) * row.first_s!;
      expect(Math.abs(frame - t * rate)).toBeLessThanOrEqual(0.5 + 1e-3);
    }
    expect(rises(eighth!)).toEqual(found.filter((_, k) => k % 2 === 0));
  });
});

describe('width', () => {
  it("is a share of each output's own interval", async () => {
    const out = await runKernel(spec, { frames: 96000, settings: { width: 0.3 } });
    expect(falls(out.beat!)[0]).toBe(7200);
    expect(falls(out.eighth!)[0]).toBe(3600);
    expect(falls(out.sixteenth!)[0]).toBe(1800);
    expect(falls(out.ppqn24!)[1]).toBe(1300);
  });

  it('leaves one low frame between pulses, however wide, swung and fast', async () => {
    const settings = { bpm: 400, width: 0.95, swing: 0.75, tempoAmount: 1 };
    const { sixteenth, ppqn24, beat } = await runKernel(spec, { sampleRate: 8000, frames: 16000, settings, inputs: { tempoCv: 12 } });
    const [up, down] = [rises(ppqn24!), falls(ppqn24!)];
    expect(up.length).toBe(8000); // every second frame: as fast as it goes
    expect(down[0]).toBe(1);
    expect(rises(sixteenth!).length).toBe(667 + 666); // an eighth of 24 frames, the swung one at 18
    expect(rises(beat!).length).toBe(Math.ceil(16000 / 48));
  });

  it('a swung sixteenth that would reach the next one ends one frame before it', async () => {
    const { sixteenth } = await runKernel(spec, { frames: 24000, settings: { width: 0.95, swing: 0.75 } });
    expect(rises(sixteenth!).slice(0, 3)).toEqual([0, 9000, 12000]);
    expect(falls(sixteenth!).slice(0, 2)).toEqual([5700, 11999]);
  });
});

describe('run and reset', () => {
  it('all outputs and resetOut pulse on frame 0; resetOut lasts 1 ms', async () => {
    const out = await runKernel(spec, { frames: 400 });
    for (const id of ['beat', 'eighth', 'sixteenth', 'ppqn24', 'resetOut']) expect(rises(out[id]!)).toEqual([0]);
    expect(falls(out.resetOut!)).toEqual([48]);
  });

  it('run low: pulses low, place kept', async () => {
    const { beat } = await runKernel(spec, { frames: 100000, inputs: { run: gateSignal([0, 5000], [20000, 200000]) } });
    expect(falls(beat!)[0]).toBe(5000);
    expect(rises(beat!)).toEqual([0, 24000 + 15000, 48000 + 15000, 72000 + 15000]);
  });

  it('a pulse that falls due on the frame on which it stops comes when it runs again', async () => {
    const { beat } = await runKernel(spec, { frames: 60000, inputs: { run: gateSignal([0, 24000], [30000, 60000]) } });
    expect(rises(beat!)).toEqual([0, 30000, 54000]);
  });

  it('low from the start: it begins with all pulses as soon as it runs', async () => {
    const out = await runKernel(spec, { frames: 20000, inputs: { run: gateSignal([7000, 20000]) } });
    for (const id of ['beat', 'eighth', 'resetOut']) expect(rises(out[id]!)[0]).toBe(7000);
  });

  it('reset: place 0, all pulse on that frame', async () => {
    const out = await runKernel(spec, { frames: 60000, settings: { width: 0.05 }, inputs: { reset: gateSignal([10000, 10100]) } });
    expect(rises(out.beat!)).toEqual([0, 10000, 34000, 58000]);
    expect(rises(out.resetOut!)).toEqual([0, 10000]);
    expect(
      rises(out.ppqn24!)
        .filter((n) => n >= 9990)
        .slice(0, 3),
    ).toEqual([10000, 11000, 12000]);
  });

  it('reset in the middle of a pulse: low for one frame, so that the new pulse can be seen', async () => {
    const { beat, resetOut } = await runKernel(spec, { frames: 40000, inputs: { reset: gateSignal([6000, 6100]) } });
    expect(rises(beat!)).toEqual([0, 6001, 30000]);
    expect(falls(beat!)).toEqual([6000, 18000]);
    expect(rises(resetOut!)).toEqual([0, 6000]);
  });

  it('reset while stopped waits until it runs', async () => {
    const inputs = { run: gateSignal([0, 5000], [20000, 90000]), reset: gateSignal([8000, 8100]) };
    const { beat, resetOut } = await runKernel(spec, { frames: 50000, inputs });
    expect(rises(beat!)).toEqual([0, 20000, 44000]);
    expect(rises(resetOut!)).toEqual([0, 20000]);
  });
});
