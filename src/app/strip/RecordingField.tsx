/** The sound file that a block plays: choose it with a button or drop it here, see its outline, save it, take it off. */
import { type DragEvent, useEffect, useRef, useState } from 'react';
import { useStore } from 'zustand';
import type { BlockSpec, RecordingSetting } from '../../patch/blockSpec.ts';
import { removeRecording, setSetting } from '../../patch/commands/index.ts';
import { type Block, type Place, placeName, type Recording } from '../../patch/document.ts';
import { findSetting, settingValue } from '../../patch/settings.ts';
import { useApp, useSession } from '../app.ts';
import { saveFile } from '../saveFile.ts';
import { drawWaveform } from '../sounds/drawWaveform.ts';

interface RecordingFieldProps {
  readonly block: Block;
  readonly spec: BlockSpec;
  readonly setting: RecordingSetting;
}

export function RecordingField({ block, spec, setting }: RecordingFieldProps) {
  const { session, sounds, catalogue } = useApp();
  const at: Place = [block.id, setting.id];
  const id = settingValue(block, setting);
  const list = useSession(({ patch }) => patch.recordings);
  const recording = list?.find((entry) => entry.id === id);
  const status = useStore(sounds, ({ files }) => recording && files.get(recording.sha256));
  const reading = useStore(sounds, (state) => state.reading === placeName(at));
  const trouble = useStore(sounds, (state) => (state.trouble?.at === placeName(at) ? state.trouble.say : undefined));
  const [over, setOver] = useState(false);
  const others = (list ?? []).filter((entry) => entry !== recording);
  const missing = status === 'missing';

  const bring = (files: Iterable<File>): void => {
    const [file] = files;
    if (file) void sounds.choose(at, file);
  };
  const onDrag = (event: DragEvent): void => {
    if (!event.dataTransfer.types.includes('Files')) return;
    event.preventDefault();
    event.dataTransfer.dropEffect = 'copy';
    setOver(true);
  };
  const onDrop = (event: DragEvent): void => {
    event.preventDefault();
    setOver(false);
    bring(event.dataTransfer.files);
  };

  return (
    <section
      className="setting-file"
      aria-label={setting.title}
      data-takes-files
      data-over={over}
      data-changed={recording !== undefined}
      onDragOver={onDrag}
      onDragLeave={() => setOver(false)}
      onDrop={onDrop}
    >
      <h3 title={setting.say}>{setting.title}</h3>
      {recording ? (
        <figure>
          {!missing && <Waveform block={block} spec={spec} recording={recording} there={status === 'ready'} />}
          <figcaption>
            <span className="setting-file-name">{recording.name}</span>
            <span className="soft">{`${Number(recording.seconds.toFixed(2))} s`}</span>
          </figcaption>
        </figure>
      ) : (
        <p className="soft">None yet. Choose one or drop it here: any format that the browser can read, up to 30 seconds and 10 MB.</p>
      )}
      {missing && (
        <p className="setting-file-trouble" role="alert">
          This sound file is not in this notebook: patch files and links name it without its sound. Choose the same file again, and it is
          recognised by its contents.
        </p>
      )}
      {trouble !== undefined && (
        <p className="setting-file-trouble" role="alert">
          {trouble}
        </p>
      )}
      <div className="setting-file-buttons">
        <button type="button" className="bordered" disabled={reading} onClick={() => pickFile(bring)}>
          {reading ? 'Reading it...' : chooseWords(recording, missing)}
        </button>
        {recording && status === 'ready' && (
          <button type="button" onClick={() => void save(sounds.wav(recording.sha256), recording)}>
            Save as WAV
          </button>
        )}
        {recording && (
          <button
            type="button"
            onClick={() => session.run(removeRecording(session.getState().patch, catalogue, { at }))}
            aria-label={`Remove ${recording.name}`}
          >
            Remove
          </button>
        )}
      </div>
      {others.length > 0 && (
        <label className="setting-file-others">
          <span className="soft">{recording ? 'Or another one of this patch' : 'Or one of this patch'}</span>
          <select
            value=""
            onChange={(event) => {
              const value = event.target.value;
              session.run(setSetting(session.getState().patch, catalogue, { block: block.id, setting: setting.id, value }));
            }}
          >
            <option value="" disabled>
              Choose
            </option>
            {others.map((entry) => (
              <option key={entry.id} value={entry.id}>
                {entry.name}
              </option>
            ))}
          </select>
        </label>
      )}
    </section>
  );
}

function chooseWords(recording: Recording | undefined, missing: boolean): string {
  if (missing) return 'Choose it again';
  return recording ? 'Choose another file' : 'Choose a sound file';
}

interface WaveformProps {
  readonly block: Block;
  readonly spec: BlockSpec;
  readonly recording: Recording;
  readonly there: boolean;
}

function Waveform({ block, spec, recording, there }: WaveformProps) {
  const { sounds } = useApp();
  const canvas = useRef<HTMLCanvasElement>(null);
  const begin = findSetting(spec, 'start');
  const start = begin ? Number(settingValue(block, begin)) : 0;
  useEffect(() => {
    const draw = (): void => {
      const sound = there ? sounds.find(recording.sha256) : undefined;
      if (canvas.current && sound) drawWaveform(canvas.current, sound, start);
    };
    const observer = new ResizeObserver(draw);
    if (canvas.current) observer.observe(canvas.current);
    draw();
    return () => observer.disconnect();
  }, [sounds, recording.sha256, start, there]);
  return <canvas ref={canvas} role="img" aria-label={`Outline of ${recording.name}`} data-empty={!there} />;
}

function pickFile(bring: (files: Iterable<File>) => void): void {
  const input = document.createElement('input');
  input.type = 'file';
  input.accept = 'audio/*,.wav';
  input.addEventListener('change', () => bring(input.files ?? []));
  input.click();
}

/** The file is named by its id, as the command line wants it beside a patch file. */
async function save(wav: Promise<Uint8Array<ArrayBuffer> | undefined>, { id }: Recording): Promise<void> {
  const bytes = await wav;
  if (bytes) saveFile(`${id}.wav`, bytes, 'audio/wav');
}
