/** The little of fili that the tests use; the package ships no types. */
declare module 'fili' {
  export interface FiliSection {
    readonly a: readonly [number, number];
    readonly b: readonly [number, number, number];
  }
  export interface FiliFilter {
    readonly order: number;
    readonly characteristic: 'butterworth';
    readonly Fs: number;
    readonly Fc: number;
  }
  export class CalcCascades {
    lowpass(filter: FiliFilter): readonly FiliSection[];
    highpass(filter: FiliFilter): readonly FiliSection[];
  }
}
