// Programs as long as drawing tools write them, in the ways of writing that are met. Invented; nobody need be able to run them.

export interface Writing {
  /** Digits after the point. */
  readonly digits: number;
  /** Of a straight move, `G1` or `G01`. */
  readonly word: string;
  readonly end: '\n' | '\r\n';
  /** mm of the unit the numbers are in. */
  readonly unit: number;
  /** No zeros at the end of a number. */
  readonly trims: boolean;
  readonly isNumbered: boolean;
}

export const PLAINLY: Writing = { digits: 3, word: 'G1', end: '\n', unit: 1, trims: false, isNumbered: false };
export const IN_INCHES: Writing = { ...PLAINLY, digits: 4, word: 'G01', end: '\r\n', unit: 25.4 };

type Place = readonly [x: number, y: number, z: number];

/** Lanes at an angle to both axes over a floor that leans and is not flat: all three axes in every line. */
export function slantedLanes(count: number): Place[] {
  const along = Math.max(2, Math.round(1.75 * Math.sqrt(count)));
  return Array.from({ length: count }, (_, i): Place => {
    const lane = Math.floor(i / along);
    const u = -40 + (80 * (lane % 2 === 0 ? i % along : along - 1 - (i % along))) / (along - 1);
    const v = -30 + (60 * lane * along) / count;
    const [x, y] = [30 + Math.cos(0.3) * u - Math.sin(0.3) * v, Math.sin(0.3) * u + Math.cos(0.3) * v];
    return [x, y, -0.8 + 0.01 * x + 0.3 * Math.sin(x / 11) * Math.cos(y / 9)];
  });
}

/** A cutter that goes on in small circles, as chords. */
export function circlingWays(count: number): Place[] {
  return Array.from({ length: count }, (_, i): Place => {
    const turn = (i / 36) * (1 + 0.1 * Math.sin(i / 5000));
    const [x, y] = [5 + ((turn * 0.3) % 60), -20 + 3 * Math.floor((turn * 0.3) / 60)];
    return [x + 1.5 * Math.cos(2 * Math.PI * turn), y + 1.5 * Math.sin(2 * Math.PI * turn), -0.4];
  });
}

export function written(places: readonly Place[], writing: Writing): string {
  const { digits, word, end, unit, trims, isNumbered } = writing;
  const number = (mm: number): string => {
    const text = (mm / unit).toFixed(digits);
    return trims ? text.replace(/\.?0+$/, '') : text;
  };
  const lines = [
    unit === 1 ? 'G21' : 'G20',
    'G17',
    'G90',
    'G94',
    `G0 Z${number(30)}`,
    `G0 X${number(-7)} Y${number(0)}`,
    'M3 S16000',
    `G1 Z${number(0)} F${number(1200)}`,
    ...places.map(([x, y, z]) => `${word} X${number(x)} Y${number(y)} Z${number(z)}`),
    `G1 Z${number(30)}`,
    'M5',
    'M2',
  ];
  return lines.map((line, i) => `${isNumbered ? `N${10 * (i + 1)} ` : ''}${line}${end}`).join('');
}
