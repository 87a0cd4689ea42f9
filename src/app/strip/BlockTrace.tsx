/** A small trace of what the block puts out: the last two seconds, live or of the take. */
import { useEffect, useRef, useState } from 'react';
import type { BlockSpec } from '../../patch/blockSpec.ts';
import { addProbe } from '../../patch/commands/index.ts';
import type { Block } from '../../patch/document.ts';
import { useApp, useSession } from '../app.ts';
import { drawTrace } from '../sketch/drawTrace.ts';

export function BlockTrace({ block, spec }: { readonly block: Block; readonly spec: BlockSpec }) {
  const { traces, session, catalogue, view } = useApp();
  const canvas = useRef<HTMLCanvasElement>(null);
  const cables = useSession(({ patch }) => patch.cables);
  const [chosen, setChosen] = useState<string>();
  const connected = spec.outputs.find(({ id }) => cables.some(({ from }) => from[0] === block.id && from[1] === id));
  const output = spec.outputs.find(({ id }) => id === chosen) ?? connected ?? spec.outputs[0];
  const port = output?.id;

  useEffect(() => {
    if (port === undefined) return;
    let frame = 0;
    const stop = traces.subscribe([block.id, port], (trace) => {
      cancelAnimationFrame(frame);
      frame = requestAnimationFrame(() => canvas.current && drawTrace(canvas.current, trace));
    });
    return () => {
      stop();
      cancelAnimationFrame(frame);
    };
  }, [traces, block.id, port]);

  if (!output) return null;
  return (
    <figure className="strip-trace">
      <canvas key={`${block.id}.${output.id}`} ref={canvas} data-kind={output.kind} data-empty="true" />
      <figcaption>
        {spec.outputs.length > 1 ? (
          <select aria-label="Output to show" value={output.id} onChange={(event) => setChosen(event.target.value)}>
            {spec.outputs.map(({ id, title }) => (
              <option key={id} value={id}>
                {title}
              </option>
            ))}
          </select>
        ) : (
          <span className="soft">{output.title}</span>
        )}
        <button
          type="button"
          onClick={() => {
            session.run(addProbe(session.getState().patch, catalogue, { at: [block.id, output.id] }));
            view.setState({ trayShown: true });
          }}
        >
          Clip a probe here
        </button>
      </figcaption>
    </figure>
  );
}
