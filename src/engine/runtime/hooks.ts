/** What tests reach beside the runtime's own functions: the parts behind the blocks, to be measured alone. */

export { CEILING_BYTES, ceilingDelay, delayOnly, limit, prepareCeiling } from './ceiling';
export { decimate, decimatorBytes, decimatorDelay, prepareDecimator } from './decimator';
