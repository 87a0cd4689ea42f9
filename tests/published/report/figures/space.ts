/** Energy decay of rooms. */
import { works } from '../../sources.ts';
import { roomLevels } from '../../topics/space.ts';
import type { Drawn } from '../figure.ts';
import { plot, type Series } from '../plot.ts';
import { linearScale } from '../scale.ts';

const RATE = 48000;
const STEP = 480;

export async function roomFigures(): Promise<readonly Drawn[]> {
  const rooms = await roomLevels();
  if (rooms.length === 0) return [];
  const measured = rooms.map(({ levels }, i): Series => {
    const points = Array.from({ length: Math.floor(levels.length / STEP) }, (_, k) => ({
      x: (k * STEP) / RATE,
      y: levels[k * STEP] as number,
    }));
    return { as: 'line', style: String(i + 1), points };
  });
  const straight = rooms.map(
    ({ decay }): Series => ({ as: 'line', style: 'pale', points: [0, decay].map((x) => ({ x, y: (-60 * x) / decay })) }),
  );
  const title = 'Reverb: energy still to come after an impulse';
  return [
    {
      title,
      say: 'Grey: straight lines of 60 dB within the decay.',
      svg: plot(
        linearScale(0, 4, 8),
        's',
        [{ y: linearScale(-60, 0, 6), title: 'dB', height: 252, series: [...straight, ...measured] }],
        title,
      ),
      keys: rooms.map(({ decay }, i) => ({ as: 'line', style: String(i + 1), name: `${decay} s` })),
      sources: [works.backwards],
    },
  ];
}
