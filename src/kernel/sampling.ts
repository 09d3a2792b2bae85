import { unsafeUniformIntDistribution, xoroshiro128plus } from 'pure-rand';

/** 2^26 and 2^27: together the 53 bits of a double's mantissa. */
const HIGH = 2 ** 26;
const LOW = 2 ** 27;

/** Uniform draws from [0, 1) with 53 bits, always the same for the same seed. */
export function uniformDraws(seed: number): () => number {
  const generator = xoroshiro128plus(seed);
  return () => {
    const high = unsafeUniformIntDistribution(0, HIGH - 1, generator);
    const low = unsafeUniformIntDistribution(0, LOW - 1, generator);
    return (high * LOW + low) / (HIGH * LOW);
  };
}

/** Mean and standard deviation (divisor n - 1) of a list. */
export function spreadOf(values: readonly number[]): { readonly mean: number; readonly deviation: number } {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  const squares = values.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  return { mean, deviation: Math.sqrt(squares / (values.length - 1)) };
}
