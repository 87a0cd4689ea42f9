/** Peak level of what sounds, live or as a take, drawn on a canvas as often as the screen asks; says nothing while silent. */
import { useEffect, useRef } from 'react';
import { useApp, useListening, useTakePlayer } from '../app.ts';

const FLOOR_DB = -60;
const WIDTH = 96;
const HEIGHT = 8;
/** Decibels by which the bar falls in a second. */
const FALL = 24;

export function Meter() {
  const { listening, takePlayer } = useApp();
  const canvas = useRef<HTMLCanvasElement>(null);
  const text = useRef<HTMLSpanElement>(null);
  const live = useListening((state) => state.sound === 'on');
  const on = useTakePlayer((state) => state.playing) || live;
  const latency = useListening((state) => state.latency);
  const load = useListening((state) => state.load);

  useEffect(() => {
    const context = canvas.current?.getContext('2d');
    if (!context || !on) return;
    let frame = 0;
    let shown = FLOOR_DB;
    let last = performance.now();
    let said = 0;
    const draw = (now: number): void => {
      const level = Math.max(FLOOR_DB, 20 * Math.log10(Math.max(listening.peak(), takePlayer.peak(), 1e-6)));
      shown = Math.max(level, shown - (FALL * (now - last)) / 1000, FLOOR_DB);
      last = now;
      const style = getComputedStyle(context.canvas);
      context.clearRect(0, 0, WIDTH, HEIGHT);
      context.fillStyle = style.getPropertyValue('--rule');
      context.fillRect(0, HEIGHT - 3, WIDTH, 3);
      context.fillStyle = style.color;
      context.fillRect(0, 0, WIDTH * (1 - shown / FLOOR_DB), HEIGHT);
      if (now - said > 250 && text.current) {
        text.current.textContent = shown <= FLOOR_DB ? 'silent' : `${shown.toFixed(0)} dB`;
        said = now;
      }
      frame = requestAnimationFrame(draw);
    };
    frame = requestAnimationFrame(draw);
    return () => cancelAnimationFrame(frame);
  }, [listening, takePlayer, on]);

  if (!on) return null;
  return (
    <span
      className="listen-meter"
      title={
        live
          ? `Peak level. A control reaches the loudspeaker after about ${Math.round(latency * 1000)} ms; the engine needs ${Math.round(load * 100)} % of the time.`
          : 'Peak level of the take'
      }
    >
      <canvas ref={canvas} width={WIDTH} height={HEIGHT} />
      <span ref={text} className="soft" />
      {live && <span className="soft listen-latency">{Math.round(latency * 1000)} ms</span>}
    </span>
  );
}
