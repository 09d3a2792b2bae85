/**
 * 2^(-n/12) for n from 0 to 11, each the nearest double (derived with 40 digits). An engine's own power differs from another's in the last
 * digit, and with it every figure of a report: the command and the bench page are to give the same bytes.
 */
const PARTS = [
  1,
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
] as const;

/** What is left of a string from a fret to the saddle in equal temperament, as a part of the scale: 2^(-fret/12), a whole fret from 0 on. */
export function leftAtFret(fret: number): number {
  // Halving is exact.
  return (PARTS[fret % PARTS.length] ?? Number.NaN) / 2 ** Math.floor(fret / PARTS.length);
}
