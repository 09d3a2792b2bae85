/** The one function used of jstat, which ships no types; it is CommonJS, so only the default import works in Node. */
declare module 'jstat' {
  const jstat: { readonly chisquare: { readonly cdf: (x: number, freedom: number) => number } };
  export default jstat;
}
