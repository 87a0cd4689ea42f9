/** Histograms of what is drawn by lot, and rhythms step by step. */
import { histogram } from '../../../../src/measure/statistics.ts';
import { escapeXml } from '../../../../src/sheet/escape.ts';
import { blockSpec } from '../../check.ts';
import { works } from '../../sources.ts';
import { clockedDraws } from '../../topics/chance.ts';
import { type PlayedRhythm, playedRhythms } from '../../topics/rhythm.ts';
import type { Drawn } from '../figure.ts';
import { plot } from '../plot.ts';
import { linearScale } from '../scale.ts';

const BINS = 40;

export async function histogramFigures(): Promise<readonly Drawn[]> {
  const drawn: Drawn[] = [];
  for (const [type, input, output] of [
    ['random', 'clock', 'stepped'],
    ['sampleHold', 'trigger', 'out'],
    ['shiftRegister', 'clock', 'out1'],
  ] as const) {
    const spec = blockSpec(type);
    if (!spec) continue;
    const draws = await clockedDraws(spec, input, output)();
    const counts = histogram(draws, -1, 1, BINS);
    const expected = draws.length / BINS;
    const spread = Math.sqrt(expected * (1 - 1 / BINS));
    const volts = (bin: number): number => (10 * bin) / BINS - 5;
    const points = Array.from(counts).flatMap((y, bin) => [
      { x: volts(bin), y },
      { x: volts(bin + 1), y },
    ]);
    const title = `${spec.title}: ${draws.length} draws`;
    const panel = {
      y: linearScale(0, 2 * expected, 4),
      title: 'draws per 0.25 V',
      height: 190,
      series: [{ as: 'area', style: '2', points } as const],
      rules: [
        { y: expected, style: 'zero', say: 'uniform' },
        { y: expected + 2 * spread, style: 'limit' },
        { y: expected - 2 * spread, style: 'limit' },
      ],
    };
    drawn.push({
      title,
      say: 'Broken lines: two standard deviations of a bin.',
      svg: plot(linearScale(-5, 5, 10), 'V', [panel], title),
      keys: [],
      sources: [works.uniform],
    });
  }
  return drawn;
}

const STEP = 15;
const ROW = 17;
const NAME = 62;

/** One line: its name, a ring per published onset, a dot per played one. */
function rhythmLine({ hits, steps, published, played, known }: PlayedRhythm, line: number): string {
  const y = line * ROW + 12;
  const cells = Array.from({ length: steps }, (_, step) => {
    const x = NAME + step * STEP;
    const rest = `<circle class="rest" cx="${x}" cy="${y}" r="1.2"/>`;
    const ring = published.includes(step) ? `<circle class="circles s-published" cx="${x}" cy="${y}" r="5"/>` : '';
    const dot = played.includes(step) ? `<circle class="dots s-1" cx="${x}" cy="${y}" r="3"/>` : '';
    return ring || dot ? ring + dot : rest;
  });
  return [
    `<text class="tick" x="0" y="${y + 4}">E(${hits},${steps})</text>`,
    ...cells,
    `<text class="note" x="${NAME + steps * STEP + 2}" y="${y + 4}">${escapeXml(known)}</text>`,
  ].join('');
}

export async function rhythmFigures(): Promise<readonly Drawn[]> {
  const rhythms = await playedRhythms();
  if (rhythms.length === 0) return [];
  const halves = [rhythms.slice(0, Math.ceil(rhythms.length / 2)), rhythms.slice(Math.ceil(rhythms.length / 2))];
  return halves.map((part, i) => ({
    title: `Named rhythms, ${i === 0 ? 'shorter' : 'longer'} part`,
    svg: `<svg viewBox="0 0 560 ${part.length * ROW + 8}" role="img" aria-label="Named rhythms">${part.map(rhythmLine).join('')}</svg>`,
    keys: [
      { as: 'circles', style: 'published', name: 'published' },
      { as: 'dots', style: '1', name: 'played' },
    ],
    sources: [works.toussaint],
  }));
}
