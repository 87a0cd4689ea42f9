/**
 * Push button. Message 5 presses it (a = 1) and lets it go (a = 0), between two frames; it is answered on the next one.
 * A push is never lost: however short, the momentary gate stays high as long as the trigger (1 ms), and where the button was let go
 * and pressed again between two frames the gate shows it by one low frame.
 */
import { putGate } from '../../dsp/pulse';
import { sooner, triggerFrames } from '../../dsp/time';
import { ButtonPorts } from '../layouts.gen';

const PRESS: i32 = 5;
const MOMENTARY: f64 = 0;

@unmanaged
export class Button extends ButtonPorts {
  trigger: i64;

  /** Absolute frame of the next frame to come. */
  now: i64;
  down: i32;
  /** Turned on by one push, off by the next. */
  on: i32;
  triggerFall: i64;
  /** First absolute frame at which the momentary gate may be high, after a low one between two pushes. */
  gateFree: i64;
  /** Was the momentary gate high on the last frame? */
  wasHigh: i32;
}

export function init(block: Button): void {
  block.trigger = <i64>triggerFrames(block.sampleRate);
}

export function update(block: Button): void {}

/** Code 5: a = 1 down, a = 0 up. [audio thread] */
export function message(block: Button, code: i32, a: f64, b: f64): void {
  if (code != PRESS) return;
  const down = a >= 0.5 ? 1 : 0;
  if (down == block.down) return;
  block.down = down;
  if (!down) return;
  block.on ^= 1;
  if (block.wasHigh) block.gateFree = block.now + 1;
  block.triggerFall = max<i64>(block.now, block.gateFree) + block.trigger;
}

/** [audio thread] */
export function process(block: Button, from: i32, to: i32): void {
  let i = from;
  while (i < to) {
    const now = block.now;
    let n = to;
    if (block.triggerFall > now) n = sooner(n, block.triggerFall, now, i);
    if (block.gateFree > now) n = sooner(n, block.gateFree, now, i);
    const pulse = block.triggerFall > now && block.gateFree <= now;
    const held = (block.down != 0 && block.gateFree <= now) || pulse;
    putGate(block.outputGate, i, n, block.settingMode == MOMENTARY ? held : block.on != 0);
    putGate(block.outputTrigger, i, n, pulse);
    putGate(block.outputToggle, i, n, block.on != 0);
    block.wasHigh = held ? 1 : 0;
    block.now += n - i;
    i = n;
  }
}
