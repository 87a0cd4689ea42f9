import { grouped } from '../../support/publishedTable.ts';
import { runKernel } from '../../support/runKernel.ts';
import { type Check, type Figure, ofBlock, type Topic } from '../check.ts';
import data from '../data/scales.json' with { type: 'json' };
import { works } from '../sources.ts';

/** Scales that are drawn, all on C. */
const drawn = ['chromatic', 'major', 'minor pentatonic', 'whole tone'];

const figureOf = (scale: string): Figure => ({
  title: `Quantizer: ${scale} on C`,
  x: { title: 'in, V', from: -2.1, to: 2.1 },
  y: { title: 'out, V', from: -2.1, to: 2.1 },
});

/** The nearest note to a float32 voltage; of two just as near the lower one. The table's notes are rounded: whole twelfths are meant. */
function nearestOf(volts: number, notes: readonly number[]): number {
  const exact = notes.map((note) => Math.round(12 * note) / 12).sort((a, b) => a - b);
  const off = (note: number): number => Math.abs(Math.fround(volts) - note);
  return exact.reduce((best, note) => (off(note) < off(best) - 1e-12 ? note : best));
}

export const scales: Topic = {
  id: 'scales',
  title: 'Scales',
  say: 'Voltages go to the nearest note of the scale; exactly between two notes the lower one is taken. Hysteresis off.',
  checks: ofBlock('quantizer', (spec): readonly Check[] => {
    const run = async (settings: Readonly<Record<string, string | number>>, volts: readonly number[]): Promise<number[]> => {
      const inputs = { pitch: Float32Array.from(volts) };
      const { pitch } = await runKernel(spec, {
        frames: volts.length,
        settings: { hysteresis: 0, ...settings },
        inputs,
        outputs: ['pitch'],
      });
      return Array.from(pitch as Float32Array);
    };
    return grouped(data.vectors, ({ scale, root_semitone }) => `${scale} ${root_semitone}`).map(([, vectors]) => {
      const { scale = '', root_semitone: root = 0 } = vectors[0] ?? {};
      const sweep = Array.from({ length: 421 }, (_, i) => -2.1 + i / 100);
      return {
        block: spec.type,
        title: `${scale}, root ${root}: every input goes to its nearest note`,
        source: works.tonal,
        unit: 'V',
        rows: vectors.map(({ in_v, nearest_v }) => ({ name: `${in_v} V`, x: in_v, published: nearestOf(in_v, nearest_v), within: 1e-6 })),
        measure: () =>
          run(
            { scale, root },
            vectors.map(({ in_v }) => in_v),
          ),
        ...(root === 0 && drawn.includes(scale)
          ? {
              curve: {
                figure: figureOf(scale),
                series: scale,
                trace: async () => (await run({ scale }, sweep)).map((y, i) => ({ x: sweep[i] as number, y })),
              },
            }
          : {}),
      };
    });
  }),
};
