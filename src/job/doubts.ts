import { bothUnits } from '../kernel/dimension.ts';
import type { Finding } from '../kernel/findings.ts';
import { MM_PER_INCH, type Unit } from '../kernel/units.ts';
import { readLength } from './leaves.ts';
import { pathText } from './pathText.ts';
import { JOB_RANGES } from './ranges.ts';
import { type Located, type Path, valueAt } from './yamlText.ts';

// Readings that can be, and hardly ever are: worth a word before wood comes off. All limits are from memory of the trade.

/** mm. A length under this in a millimetre file is less than anybody finds at that place: an inch figure without its unit looks so. */
const HARDLY_EVER_UNDER: readonly { readonly key: keyof typeof JOB_RANGES; readonly least: number }[] = [
  { key: 'neck.nutGap', least: 0.1 },
  { key: 'asFound.firstFretGap', least: 0.1 },
  { key: 'asFound.lastFretGap', least: 0.15 },
  { key: 'bridge.travel', least: 1 },
];

/** mm. The same of a test fit: nobody files, raises saddles or reads a gap so finely. */
const FIT_HARDLY_UNDER = [
  { key: 'depth', least: 0.04 },
  { key: 'lastFretGap', least: 0.05 },
  { key: 'raised', least: 0.1 },
  { key: 'lowest', least: 0.02 },
  { key: 'highest', least: 0.5 },
] as const;

/** mm. Bass and treble over the same fret differ by less than this on any instrument whose saddles stand alike. */
const HARDLY_EVER_APART = 1.5;

const SIDES = ['bass', 'treble'] as const;

/** Warnings about an otherwise sound job file, each at its place: `unit` is the file's own, undefined where it gives none soundly. */
export function doubtsOf(located: Located, unit: Unit | undefined): Finding[] {
  if (unit === undefined) return [];
  const raw = (path: Path): unknown => valueAt(located.data, path);
  const mmAt = (key: keyof typeof JOB_RANGES, path: Path): number | undefined => {
    const read = readLength(raw(path), unit, JOB_RANGES[key]);
    return read.ok ? read.value.mm : undefined;
  };
  const warn = (code: string, path: Path, message: string, found: string, expected: string): Finding => ({
    code,
    severity: 'warning',
    exit: null,
    message,
    place: located.valuePlace(path),
    found,
    expected,
  });
  const smallAt = (key: keyof typeof JOB_RANGES, path: Path, least: number): Finding[] =>
    [path, ...SIDES.map((side) => [...path, side])].flatMap((each): Finding[] => {
      const value = mmAt(key, each);
      // A unit written with the figure is meant.
      // Nothing at all is meant too: a zero fret, saddles that do not travel.
      if (value === undefined || value === 0 || value >= least || unit !== 'mm' || typeof raw(each) !== 'number') return [];
      const inches = `if inches were meant (${Number((value * MM_PER_INCH).toFixed(2))} mm), write "${raw(each)} in"`;
      return [warn('hardly-so-small', each, `${pathText(each)} is hardly ever so small`, `${raw(each)} mm`, inches)];
    });
  const small = HARDLY_EVER_UNDER.flatMap(({ key, least }) => smallAt(key, key.split('.'), least));
  const fits = valueAt(located.data, ['fits']);
  const inFits = (Array.isArray(fits) ? fits : []).flatMap((_, i) =>
    FIT_HARDLY_UNDER.flatMap(({ key, least }) => smallAt(`fits.${key}`, ['fits', i, key], least)),
  );
  const path = ['asFound', 'lastFretGap'];
  const [bass, treble] = SIDES.map((side) => mmAt('asFound.lastFretGap', [...path, side]));
  const apart = bass === undefined || treble === undefined ? 0 : Math.abs(bass - treble);
  const far =
    apart <= HARDLY_EVER_APART
      ? []
      : [
          warn(
            'sides-far-apart',
            path,
            'bass and treble hardly ever stand so differently over the last fret',
            `${bothUnits(apart)} between them`,
            'both read with the saddles alike, all the way down or raised by the same; measure them again',
          ),
        ];
  const [crowns, saddles] = [raw(['neck', 'radius']), raw(['bridge', 'radius'])];
  const flat =
    crowns === undefined || saddles !== undefined
      ? []
      : [
          warn(
            'bridge-radius-missing',
            ['bridge'],
            'the frets have a radius and the saddles are taken to stand in one flat row: the inner strings then come out too low',
            'no bridge.radius',
            'bridge.radius, of the arc that the strings lie on at the saddles; most often the radius of the frets or more',
          ),
        ];
  return [...small, ...inFits, ...far, ...flat];
}
