/** The take: a deterministic rendering that follows each edit, its length, and saving it as a sound file. */
import { Popover } from 'radix-ui';
import { useEffect, useId, useState } from 'react';
import { encodeWav, type WavFormat } from '../../notebook/wav.ts';
import { setDetails } from '../../patch/commands/setDetails.ts';
import { DEFAULT_SECONDS } from '../../patch/document.ts';
import { useApp, useListening, useSession } from '../app.ts';
import { fileName, saveFile } from '../saveFile.ts';
import { CompareNote } from '../takePlayer/CompareNote.tsx';
import type { ListeningState, Quality } from './listening.ts';
import { TakeFigures } from './TakeFigures.tsx';

const LONGEST = 600;
const qualities: readonly Quality[] = [1, 2, 4, 8];

const formats: readonly (readonly [WavFormat, string])[] = [
  ['16', '16 bit'],
  ['24', '24 bit'],
  ['float', '32 bit float'],
];

function statusText({ takeStatus, takeProgress }: Pick<ListeningState, 'takeStatus' | 'takeProgress'>): string {
  if (takeStatus === 'rendering') return `${Math.round(takeProgress * 100)} %`;
  return { none: 'none yet', waiting: '', ready: 'ready', refused: 'not possible' }[takeStatus];
}

export function TakeMenu() {
  const seconds = useSession(({ patch }) => patch.seconds ?? DEFAULT_SECONDS);
  const takeStatus = useListening((state) => state.takeStatus);
  const takeProgress = useListening((state) => state.takeProgress);
  return (
    <Popover.Root>
      <Popover.Trigger className="take-button">
        Take {seconds} s <span className="soft">{statusText({ takeStatus, takeProgress })}</span>
      </Popover.Trigger>
      <Popover.Portal>
        <Popover.Content className="take-menu" align="end" sideOffset={6} aria-label="Take">
          <TakePanel seconds={seconds} />
        </Popover.Content>
      </Popover.Portal>
    </Popover.Root>
  );
}

function TakePanel({ seconds }: { readonly seconds: number }) {
  const { session, listening, catalogue } = useApp();
  const [format, setFormat] = useState<WavFormat>('24');
  const [typed, setTyped] = useState(String(seconds));
  const take = useListening((state) => state.take);
  const status = useListening((state) => state.takeStatus);
  const trouble = useListening((state) => state.takeTrouble);
  const quality = useListening((state) => state.takeQuality);
  const group = useId();

  useEffect(() => setTyped(String(seconds)), [seconds]);
  useEffect(() => {
    if (listening.getState().takeStatus === 'none') listening.renderTake();
  }, [listening]);

  const commitSeconds = (): void => {
    const value = Number(typed.replace(',', '.').replace(/\s*s$/, ''));
    if (!Number.isFinite(value) || value <= 0 || value > LONGEST) {
      session.say(`A take lasts more than 0 and at most ${LONGEST} seconds.`, 'refusal');
      setTyped(String(seconds));
    } else if (value !== seconds) session.run(setDetails(session.getState().patch, catalogue, { details: { seconds: value } }));
  };

  const save = (): void => {
    if (!take) return;
    const bytes = encodeWav([take.left, take.right], take.rate, format);
    saveFile(fileName(session.getState().patch.title, 'wav'), bytes, 'audio/wav');
    session.say('The take was saved as a sound file.');
  };

  const busy = status === 'waiting' || status === 'rendering';
  return (
    <>
      <CompareNote />
      <label className="take-row">
        <span>Length in seconds</span>
        <input
          className="value"
          inputMode="decimal"
          value={typed}
          onChange={(event) => setTyped(event.target.value)}
          onBlur={commitSeconds}
          onKeyDown={(event) => event.key === 'Enter' && commitSeconds()}
        />
      </label>
      <label className="take-row">
        <span title="The whole engine runs at a multiple of the sample rate; the cleaner, the slower">Quality</span>
        <select value={quality} onChange={(event) => listening.setTakeQuality(Number(event.target.value) as Quality)}>
          {qualities.map((factor) => (
            <option key={factor} value={factor}>
              {factor === 1 ? 'as it plays live' : `${factor} times oversampled`}
            </option>
          ))}
        </select>
      </label>
      <TakeFigures take={take} />
      {trouble && <p className="take-trouble">{trouble}</p>}
      <fieldset className="take-formats">
        <legend>Save as WAV</legend>
        {formats.map(([id, title]) => (
          <label key={id}>
            <input type="radio" name={group} checked={format === id} onChange={() => setFormat(id)} /> {title}
          </label>
        ))}
      </fieldset>
      <div className="take-actions">
        {busy ? (
          <button type="button" className="bordered" onClick={() => listening.cancelTake()}>
            Cancel
          </button>
        ) : (
          <button type="button" className="bordered" onClick={() => listening.renderTake()}>
            Render again
          </button>
        )}
        <button type="button" className="main" disabled={!take || busy} onClick={save}>
          Save the take
        </button>
      </div>
      <p className="soft small">A take is always the same for the same patch: on this page, on another machine and on the command line.</p>
    </>
  );
}
