/** What the bilinear transform costs near half the rate, and what oversampling gives back. */
import { grouped, publishedTable, publishedWords } from '../../../support/publishedTable.ts';
import { gainAt, impulse } from '../../../support/response.ts';
import { runKernel } from '../../../support/runKernel.ts';
import { blockSpec, type Point } from '../../check.ts';
import { works } from '../../sources.ts';
import type { Drawn } from '../figure.ts';
import { plot, type Series } from '../plot.ts';
import { linearScale, logScale } from '../scale.ts';

const RATE = 48000;

interface Warped {
  readonly type: string;
  readonly title: string;
  readonly output: string;
  readonly settings: Readonly<Record<string, number>>;
  /** The analog response. */
  readonly analog: readonly Point[];
  readonly source: string;
}

function warpedCases(): readonly Warped[] {
  const twoPole = grouped(publishedWords('svf_response').slice(1), (words) => words.slice(0, 3).join(' '));
  const fourPole = grouped(publishedTable('ladder_response'), (row) => `${row.fc_hz} ${row.k}`);
  const q = 2;
  const k = fourPole.map(([key]) => key).find((key) => Number(key.split(' ')[0]) >= 5000 && Number(key.split(' ')[1]) === 3);
  const [cutoff = 0] = (k ?? '').split(' ').map(Number);
  return [
    {
      type: 'filter',
      title: 'State-variable low-pass at 6 kHz, Q 2, against the analog one',
      output: 'lowpass',
      settings: { cutoff: 6000, resonance: 1 - 0.5 / q },
      analog: (twoPole.find(([key]) => key === `6000 ${q} lp`)?.[1] ?? []).map((words) => ({ x: Number(words[3]), y: Number(words[4]) })),
      source: works.twoPole,
    },
    {
      type: 'ladder',
      title: `Ladder at ${cutoff / 1000} kHz, k 3, against the analog one`,
      output: 'lowpass24',
      settings: { cutoff, resonance: (0.95 * 3) / 4 },
      analog: (fourPole.find(([key]) => key === k)?.[1] ?? []).map((row) => ({ x: row.f_hz as number, y: row.analog_db as number })),
      source: works.ladder,
    },
  ];
}

export async function warpFigures(): Promise<readonly Drawn[]> {
  const drawn: Drawn[] = [];
  for (const { type, title, output, settings, analog, source } of warpedCases()) {
    const spec = blockSpec(type);
    if (!spec || analog.length === 0) continue;
    const series: Series[] = [];
    for (const [i, quality] of ([1, 2, 4] as const).entries()) {
      const run = { quality, frames: 16384, settings, inputs: { in: impulse() }, outputs: [output] };
      const signal = (await runKernel(spec, run))[output] as Float32Array;
      const points = Array.from({ length: 161 }, (_, k) => 1000 * 23.9 ** (k / 160)).map((x) => ({
        x,
        y: gainAt(signal, x, RATE * quality),
      }));
      series.push({ as: 'line', style: String(i + 1), points });
    }
    series.push({ as: 'circles', style: 'published', points: analog });
    const panel = { y: linearScale(-60, 10, 6), title: 'dB', height: 252, series };
    drawn.push({
      title,
      say: 'Below half the rate the bilinear transform is exact at the cutoff and falls too fast above it; at higher qualities that moves out of hearing.',
      svg: plot(logScale(1000, 24000), 'frequency, Hz', [panel], title),
      keys: [
        ...[1, 2, 4].map((quality, i) => ({ as: 'line', style: String(i + 1), name: `quality ${quality}` }) as const),
        { as: 'circles', style: 'published', name: 'analog' },
      ],
      sources: [source.split(';')[0] ?? source],
    });
  }
  return drawn;
}
