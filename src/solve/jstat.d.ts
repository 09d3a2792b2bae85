/** The one function used of jstat, which ships no types. */
declare module 'jstat' {
  export const jStat: { readonly chisquare: { readonly cdf: (x: number, freedom: number) => number } };
}
