/**
 * 2^(-k/12) for k = 0 to 11, each rounded once from 60 digits (derived). The language leaves the last digit of a power to the engine, and
 * engines differ: with these the same job gives the same bytes on all of them.
 */
const WITHIN_OCTAVE = [
  1.0,
  0.9438743126816935,
  0.8908987181403393,
  0.8408964152537145,
  0.7937005259840998,
  0.7491535384383408,
  Math.SQRT1_2,
  0.6674199270850172,
  0.6299605249474366,
  0.5946035575013605,
  0.5612310241546865,
  0.5297315471796477,
];

/** What is left of a string's length from the n-th semitone on, as a part of the whole: 2^(-n/12), n whole and 0 or more. */
export function semitonePart(n: number): number {
  let part = WITHIN_OCTAVE[n % 12] ?? Number.NaN;
  // Halving is exact.
  for (let octave = Math.floor(n / 12); octave > 0; octave--) part /= 2;
  return part;
}
