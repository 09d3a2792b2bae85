import { describe, expect, it } from 'vitest';
import { combine } from '../../src/instrument/combine.ts';
import { placeInstrument } from '../../src/instrument/evidence.ts';
import { endsOf } from '../../src/instrument/fromEnds.ts';
import { sidesOf } from '../../src/instrument/neck.ts';
import { readJob } from '../../src/job/readJob.ts';
import { valuesOf } from '../../src/kernel/measured.ts';
import { solveText } from '../../src/solveJob.ts';

/** A fit whose two depths are nearly alike: where they are alike the measured floor has a crease. Invented figures. */
const jobText = (treble: string): string => `job: 1
units: mm
scale: {length: 790, frets: 22}
strings: {count: 6, spreadAtNut: 36, spreadAtSaddle: 58}
neck:
  {nutToMouth: 467, seatToCrown: 20.2, relief: 0.1, nutGap: {bass: 0.64, treble: 0.37}, radius: 300, fallAway: {fromFret: 19, drop: 0.03}}
pocket: {length: 91, width: 60.2, widthAtMouth: 57.9, cornerRadius: 11, depth: 16.4, body: 45, leastFloor: 3}
bridge: {travel: 8.4}
asFound: {lastFretGap: {bass: 1.84, treble: 0.52}, raised: 0.88}
target: {gap: 0.22, highest: 4.5}
fits: [{depth: {bass: 0.267, treble: ${treble}}, lastFretGap: {bass: 1.43, treble: 0.1}, raised: 1}]
`;

describe('readings whose least squares lie where a fit floor is level across', () => {
  const depths = Array.from({ length: 21 }, (_, i) => 0.262 + i * 0.001);
  const solved = depths.map((depth) => {
    const outcome = solveText({ text: jobText(depth.toFixed(4)), file: 'job.yaml' });
    if (!outcome.ok) throw new Error(outcome.findings.map(({ message }) => message).join('; '));
    return outcome.value.floor.deepest;
  });

  it('are combined, and the answer has no jump as one depth passes the other', () => {
    const jumps = solved.slice(1).map((deepest, i) => Math.abs(deepest - (solved[i] as number)));
    // A thousandth of depth at one side cannot move the answer by more than itself.
    expect(Math.max(...jumps)).toBeLessThan(0.001);
    expect(Math.max(...jumps)).toBeGreaterThan(1e-7);
  });

  it('count the readings alone as redundant, and hold the two depths alike on the crease', () => {
    const read = readJob(jobText('0.271'), 'job.yaml');
    if (!read.ok) throw new Error('refused');
    const combined = combine(read.value, endsOf(placeInstrument(valuesOf(read.value), 'lastFretGap')), 'mouth');
    expect(combined?.freedom).toBe(2);
    const { bass, treble } = sidesOf(combined?.values.fits[0]?.depth ?? 0);
    expect(bass).toBeGreaterThan(0.2);
    expect(bass).toBeCloseTo(treble, 9);
  });
});
