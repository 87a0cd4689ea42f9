/** The read-outs: pitch, level and loudness of what is on the screen, as a table. */
import { useEffect, useState } from 'react';
import { useListening } from '../app.ts';
import { type FigureColumn, figureColumns, NOTHING } from './figureTexts.ts';
import { FigureWork, OUTPUT_ROW } from './figureWork.ts';
import { type Lane, laneName } from './lanes.ts';
import type { Readouts } from './readouts.ts';

export interface FiguresProps {
  readonly lanes: readonly Lane[];
  readonly readouts: Readouts;
  /** Asks for the figures once the table is there. */
  readonly redraw: { readonly current: () => void };
}

export function Figures({ lanes, readouts, redraw }: FiguresProps) {
  const [work] = useState(() => new FigureWork());
  const live = useListening(({ sound }) => sound === 'on');
  const take = useListening((state) => state.take);
  useEffect(() => {
    readouts.also = (drawing) => work.update(drawing, take);
    if (lanes.length > 0) redraw.current();
    return () => {
      readouts.also = undefined;
      work.stop();
    };
  }, [work, readouts, redraw, take, lanes]);
  const titles: Readonly<Record<FigureColumn, string>> = {
    pitch: live ? 'Pitch now' : 'Pitch',
    note: 'Note',
    cents: 'Cents',
    peak: 'Peak',
    rms: 'RMS',
    truePeak: 'True peak',
    mean: 'Mean',
    short: live ? 'Last 3 s' : 'Loudest 3 s',
    integrated: 'Integrated',
  };
  return (
    <section className="probe-figures" aria-label="Figures">
      <table>
        <thead>
          <tr>
            <th scope="col">{live ? 'Live' : 'On the screen'}</th>
            {figureColumns.map((column) => (
              <th key={column} scope="col">
                {titles[column]}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {lanes.map((lane) => (
            <Row key={lane.name} row={lane.name} title={laneName(lane)} work={work} />
          ))}
          <Row row={OUTPUT_ROW} title="Output, left and right" work={work} />
        </tbody>
      </table>
      <p className="soft small">
        Pitch of sound by YIN (de Cheveigné and Kawahara 2002), of a pitch voltage at 1 V per octave with 0 V as C4. dB, dBTP and LUFS
        (ITU-R BS.1770) count from full scale: 10 V at a probe, the file's own at the output.{' '}
        {live ? 'Integrated since this table was opened.' : 'Loudest 3 s is the highest short-term loudness.'}
      </p>
    </section>
  );
}

function Row({ row, title, work }: { readonly row: string; readonly title: string; readonly work: FigureWork }) {
  return (
    <tr>
      <th scope="row">{title}</th>
      {figureColumns.map((column) => (
        <td
          key={column}
          ref={(cell) => {
            const cells = work.cells.get(row) ?? new Map<FigureColumn, HTMLElement>();
            work.cells.set(row, cells);
            if (cell) cells.set(column, cell);
            else cells.delete(column);
          }}
        >
          {NOTHING}
        </td>
      ))}
    </tr>
  );
}
