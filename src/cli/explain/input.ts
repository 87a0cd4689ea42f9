/** What moves an input or a setting, as shares. */
import type { Movement } from '../../insight/moves/movement.ts';
import { whatMoves } from '../../insight/moves/moves.ts';
import { percentTexts } from '../../insight/moves/percent.ts';
import type { Place } from '../../patch/document.ts';
import { catalogue } from '../document.ts';
import type { Answer } from './asked.ts';

export const inputAnswer: Answer = ({ patch, hearing, seconds, input }) => {
  const at = input as Place;
  const type = patch.blocks.find(({ id }) => id === at[0])?.type ?? '';
  const side = catalogue.get(type)?.inputs.some(({ id }) => id === at[1]) ? 'input' : 'setting';
  const { say, total, rest, together, movers, ...more } = whatMoves(hearing, patch, {
    at,
    side,
    ...(seconds !== undefined && { seconds }),
  });
  const shares = percentTexts(movers.map(({ share }) => share));
  const rows = movers.map(
    ({ label, movement, method, cables }, i) =>
      `${(shares[i] ?? '').padStart(5)}  ${label}: ${three(movement.rms)} ${more.unit} RMS, ${methods[method]}${cables.length > 0 ? `, by ${cables.join(', ')}` : ''}`,
  );
  return {
    lines: [...say, ...rows],
    record: {
      ...more,
      total: figures(total),
      rest: figures(rest),
      together: figures(together),
      movers: movers.map(({ movement, ...mover }) => ({ ...mover, movement: figures(movement) })),
      say,
    },
  };
};

const methods = { exact: 'exact', silenced: 'silenced in turn' } as const;

const three = (value: number): string => Number(value.toPrecision(3)).toString();

/** Without what is only drawn. */
function figures({ columns: _, ...rest }: Movement): Omit<Movement, 'columns'> {
  return rest;
}
