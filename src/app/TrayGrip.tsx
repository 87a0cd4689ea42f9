/** The upper edge of the tray, dragged or moved with the arrow keys. */
import { useApp, useView } from './app.ts';
import { TRAY_HEIGHT } from './store/viewState.ts';

export function TrayGrip() {
  const { view } = useApp();
  const height = useView((state) => state.trayHeight);
  const set = (next: number): void =>
    view.setState({ trayHeight: Math.round(Math.min(TRAY_HEIGHT.most, Math.max(TRAY_HEIGHT.least, next))) });
  return (
    <hr
      className="shell-tray-grip"
      aria-label="Height of the probes"
      aria-orientation="horizontal"
      aria-valuenow={height}
      aria-valuemin={TRAY_HEIGHT.least}
      aria-valuemax={TRAY_HEIGHT.most}
      tabIndex={0}
      onKeyDown={(event) => {
        if (event.key === 'ArrowUp') set(height + 16);
        else if (event.key === 'ArrowDown') set(height - 16);
        else return;
        event.preventDefault();
      }}
      onPointerDown={(event) => event.currentTarget.setPointerCapture(event.pointerId)}
      onPointerMove={(event) => {
        if (event.currentTarget.hasPointerCapture(event.pointerId)) set(window.innerHeight - event.clientY);
      }}
    />
  );
}
