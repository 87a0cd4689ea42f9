/** The page's way to the audio device. [page] */

/** 48 kHz where the device allows, else the device's own rate. Throws an Error with a sentence where the browser has no audio. */
export function openContext(): AudioContext {
  if (typeof AudioContext === 'undefined') throw new Error('This browser cannot play sound. Open the page in a current browser.');
  try {
    return new AudioContext({ sampleRate: 48000, latencyHint: 'interactive' });
  } catch {
    return new AudioContext({ latencyHint: 'interactive' });
  }
}
