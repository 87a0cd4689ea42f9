/** Types of the CommonJS package fft.js 4 (radix-4 FFT; size a power of two, at least 4). Complex arrays interleave real and imaginary parts. */
declare module 'fft.js' {
  export default class FFT {
    constructor(size: number);
    createComplexArray(): number[];
    /** Transform of `size` real values; fills bins 0..size/2 only. */
    realTransform(out: number[] | Float64Array, input: ArrayLike<number>): void;
    completeSpectrum(spectrum: number[] | Float64Array): void;
    transform(out: number[] | Float64Array, input: ArrayLike<number>): void;
    inverseTransform(out: number[] | Float64Array, input: ArrayLike<number>): void;
  }
}
