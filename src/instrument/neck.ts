import type { Job } from '../job/job.ts';
import type { Values } from '../kernel/measured.ts';
import { semitonePart } from '../kernel/temperament.ts';

/** The job as plain numbers: millimetres and radians. */
export type JobValues = Values<Job>;

export type Sides = { readonly bass: number; readonly treble: number };

export function sidesOf(reading: number | Sides): Sides {
  return typeof reading === 'number' ? { bass: reading, treble: reading } : reading;
}

/** Linear in t from the bass (t = 0) to the treble string (t = 1). */
export function between(sides: Sides, t: number): number {
  return sides.bass + (sides.treble - sides.bass) * t;
}

/** +1 on a right-handed instrument (+y is the treble side), -1 on a left-handed one. */
export function handSign(job: JobValues): 1 | -1 {
  return job.hand === 'right' ? 1 : -1;
}

/** s_n = L (1 - 2^(-n/12)) from the nut's face, equal temperament (M. Koch, "Building Electric Guitars": read). */
export function fretPlace(scaleLength: number, fret: number): number {
  return scaleLength * (1 - semitonePart(fret));
}

/** The crowns of a neck, neck frame: `s` from the nut's face, `y` across, heights over the floor as found. */
export interface Crowns {
  readonly frets: number;
  /** Places s_n, index 0 (the nut) to N. */
  readonly places: readonly number[];
  /** The crown plane on the centreline, relief and fall-away not taken off. */
  readonly plane: (s: number) => number;
  /** How far the crown's arc lies below its top at y. */
  readonly sag: (s: number, y: number) => number;
  readonly crown: (s: number, y: number) => number;
  /** `crown` at a fret's own place, from what is worked out once for each fret: every trial floor asks it of every string. */
  readonly crownAt: (fret: number, y: number) => number;
}

/** R - sqrt(R² - y²), written so that nothing cancels; flat where there is no radius. */
function sagOf(R: number | undefined, y: number): number {
  return R === undefined ? 0 : (y * y) / (R + Math.sqrt(R * R - y * y));
}

export function crownsOf(job: JobValues): Crowns {
  const { scale, neck } = job;
  const N = scale.frets;
  const places = Array.from({ length: N + 1 }, (_, n) => fretPlace(scale.length, n));
  const place = (n: number): number => places[n] ?? fretPlace(scale.length, n);
  const s1 = place(1);
  const sN = place(N);
  const tilt = Math.tan(neck.crownTilt);
  const plane = (s: number): number => neck.seatToCrown + (s - neck.nutToMouth) * tilt;
  const { radius } = neck;
  const radiusAt = (s: number): number | undefined => {
    if (radius === undefined || typeof radius === 'number') return radius;
    return radius.atNut + ((radius.atLastFret - radius.atNut) * s) / sN;
  };
  const sag = (s: number, y: number): number => sagOf(radiusAt(s), y);
  const hollow = (s: number): number => (s <= s1 || s >= sN ? 0 : (4 * neck.relief * (s - s1) * (sN - s)) / (sN - s1) ** 2);
  const drop = (s: number): number => {
    if (neck.fallAway === undefined) return 0;
    const sf = place(neck.fallAway.fromFret);
    return s <= sf ? 0 : (neck.fallAway.drop * (s - sf)) / (sN - sf);
  };
  const onCentre = (s: number): number => plane(s) - hollow(s) - drop(s);
  const centres = places.map(onCentre);
  const radii = places.map(radiusAt);
  return {
    frets: N,
    places,
    plane,
    sag,
    crown: (s, y) => onCentre(s) - sag(s, y),
    crownAt: (fret, y) => (centres[fret] ?? Number.NaN) - sagOf(radii[fret], y),
  };
}
