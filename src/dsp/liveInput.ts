/** The two signals of the microphone or line input, filled by the live host before each render quantum; silent in takes. */
import { CHUNK } from './block';

const LEFT = memory.data(160 * 4, 16);
const RIGHT = memory.data(160 * 4, 16);

/** Address of the left (0) or right (1) signal, 128 float32 at full scale 1; a signal's header lies in front of it. */
export function liveInput(side: i32): usize {
  return (side == 0 ? LEFT : RIGHT) + <usize>((160 - CHUNK) * 4);
}
