/** The microphone or line input of a block that plays it: shut until the button is pressed. */
import { useId } from 'react';
import { useStore } from 'zustand';
import { useApp } from '../app.ts';

const states = {
  off: 'Shut: nothing comes in.',
  waiting: 'It opens as soon as you press Listen.',
  asking: 'The browser asks for your permission.',
  on: 'Open: what comes in plays through this patch.',
} as const;

export function LiveInputField() {
  const { liveInput } = useApp();
  const { status, trouble, devices, device } = useStore(liveInput);
  const caution = useId();
  return (
    <section className="live-input" aria-label="Microphone or line input">
      <p role="status">{states[status]}</p>
      {status === 'off' ? (
        <button type="button" className="bordered" aria-describedby={caution} onClick={() => liveInput.use()}>
          Use the microphone or line input
        </button>
      ) : (
        <button type="button" className="bordered" onClick={() => liveInput.leave()}>
          Shut it
        </button>
      )}
      <p className="live-input-caution" id={caution}>
        <strong>Caution: feedback.</strong> A microphone that hears the loudspeakers howls, loudly and at once. Use headphones, and turn the
        volume down before you open it. What comes in goes into this patch alone; it is not recorded and leaves this machine in no way.
      </p>
      {trouble !== undefined && (
        <p className="setting-file-trouble" role="alert">
          {trouble}
        </p>
      )}
      {devices.length > 1 && (
        <label className="setting-file-others">
          <span className="soft">Input</span>
          <select value={device} onChange={(event) => liveInput.choose(event.target.value)}>
            {!devices.some(({ id }) => id === device) && <option value={device}>As the browser chooses</option>}
            {devices.map(({ id, label }) => (
              <option key={id} value={id}>
                {label}
              </option>
            ))}
          </select>
        </label>
      )}
    </section>
  );
}
