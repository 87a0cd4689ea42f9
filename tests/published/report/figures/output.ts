/** The decimator's pass band under the glass, and what the ceiling does to signals that try it. */
import { escapeXml } from '../../../../src/sheet/escape.ts';
import { decimatorGains, impulseResponse } from '../../../support/decimatorBench.ts';
import { works } from '../../sources.ts';
import { ceilingCases } from '../../topics/output.ts';
import type { Drawn } from '../figure.ts';
import { plot, type Series } from '../plot.ts';
import { linearScale, written } from '../scale.ts';

const RATE = 48000;
const qualities = [2, 4, 8] as const;

function passBand(): Drawn {
  const series = qualities.map(
    (quality, i): Series => ({
      as: 'line',
      style: String(i + 1),
      points: decimatorGains(impulseResponse(RATE, quality).response, RATE * quality)
        .filter(({ x }) => x <= 24000)
        .map(({ x, y }) => ({ x: x / 1000, y })),
    }),
  );
  const title = 'Decimator: the pass band';
  const panel = {
    y: { ...linearScale(-0.1, 0.1, 4), write: (value: number) => written(value) },
    title: 'dB',
    height: 190,
    series,
    rules: [
      { y: 0.05, style: 'limit', say: 'mark to 20 kHz: \u00b10.05 dB' },
      { y: -0.05, style: 'limit' },
    ],
  };
  return {
    title,
    svg: plot(linearScale(0, 24, 8), 'frequency, kHz', [panel], title),
    keys: qualities.map((quality, i) => ({ as: 'line', style: String(i + 1), name: `quality ${quality}` })),
    sources: [works.ownMark],
  };
}

const WIDTH = 560;
const NAME = 238;
const ROW = 19;

/** True peaks before and after, as bars on a scale in dB. */
async function ceilingBars(): Promise<Drawn> {
  const cases = await ceilingCases();
  const scale = linearScale(-6, 24, 6);
  const x = (db: number): number => NAME + scale.at(Math.min(24, Math.max(-6, db))) * (WIDTH - NAME - 12);
  const bottom = cases.length * ROW + 8;
  const grid = scale.ticks.map(
    (db) =>
      `<path class="grid" d="M${x(db)} 4V${bottom}"/><text class="tick" x="${x(db)}" y="${bottom + 14}" text-anchor="middle">${scale.write(db)}</text>`,
  );
  const rows = cases.map(({ name, before, after }, i) => {
    const y = i * ROW + 16;
    return (
      `<text class="tick" x="0" y="${y + 3}">${escapeXml(name)}</text><path class="bar" d="M${x(after)} ${y}H${x(before)}"/>` +
      `<circle class="circles s-published" cx="${x(before)}" cy="${y}" r="3.2"/><circle class="dots s-1" cx="${x(after)}" cy="${y}" r="3"/>`
    );
  });
  const limit = `<path class="rule s-limit" d="M${x(-1)} 4V${bottom}"/>`;
  const title = `<text class="axis" x="${(NAME + WIDTH) / 2}" y="${bottom + 29}" text-anchor="middle">true peak, dBTP</text>`;
  return {
    title: 'Ceiling: true peaks before and after',
    say: 'Broken line: -1 dBTP, where the ceiling stands.',
    svg: `<svg viewBox="0 0 ${WIDTH} ${bottom + 34}" role="img" aria-label="True peaks before and after the ceiling">${grid.join('')}${limit}${rows.join('')}${title}</svg>`,
    keys: [
      { as: 'circles', style: 'published', name: 'before' },
      { as: 'dots', style: '1', name: 'after' },
    ],
    sources: [works.bs1770peak],
  };
}

export async function outputFigures(): Promise<readonly Drawn[]> {
  return [passBand(), await ceilingBars()];
}
