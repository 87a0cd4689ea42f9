/** What tests reach beside the runtime's own functions: the parts behind the blocks, to be measured alone. */
export { decimate, decimatorBytes, decimatorDelay, prepareDecimator } from './decimator';
export { CEILING_BYTES, ceilingDelay, delayOnly, limit, prepareCeiling } from './ceiling';
