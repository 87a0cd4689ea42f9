/** What kind of signal each output carries decides how its cables are drawn. */
export { signalKinds } from '../../patch/signalKind.ts';
