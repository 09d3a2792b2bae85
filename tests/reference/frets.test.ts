import { describe, expect, it } from 'vitest';
import { fretPlace } from '../../src/instrument/neck.ts';
import { leftAtFret } from '../../src/kernel/temperament.ts';
import { toMm } from '../../src/kernel/units.ts';

describe('what is left of a string at a fret', () => {
  it('is the twelfth root of a half, taken so often, to the last digits but one of any engine', () => {
    for (let fret = 0; fret <= 36; fret++) expect(Math.abs(leftAtFret(fret) / 0.5 ** (fret / 12) - 1)).toBeLessThan(4e-16);
  });
});

describe('frets against published values', () => {
  it('second fret of a 25.5 in scale is at 2.782 in (M. Koch, "Building Electric Guitars", fret distances: read)', () => {
    expect(fretPlace(toMm(25.5, 'in'), 2) / 25.4).toBeCloseTo(2.782, 3);
  });
  it('first fret by the 17.817 rule: 650 mm / 17.817 = 36.482011 mm (same source: read)', () => {
    expect(fretPlace(650, 1)).toBeCloseTo(36.482011, 3);
  });
  it.each([
    [1, 36.4817],
    [2, 70.9158],
    [3, 103.4173],
    [5, 163.0502],
    [7, 216.177],
    [12, 325],
    [16, 392.0473],
    [17, 406.5251],
    [21, 456.7538],
    [22, 467.5999],
    [24, 487.5],
  ])('650 mm scale, fret %i at %f mm (derived table)', (fret, place) => {
    expect(fretPlace(650, fret)).toBeCloseTo(place, 4);
  });
});
