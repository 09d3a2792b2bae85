import { bothPlain } from '../kernel/dimension.ts';
import type { Finding } from '../kernel/findings.ts';
import type { Outline } from '../kernel/outline.ts';
import { leftAtFret } from '../kernel/temperament.ts';
import type { Unit } from '../kernel/units.ts';
import { readLength } from './leaves.ts';
import { pathText } from './pathText.ts';
import { isMeant, missingKey } from './problems.ts';
import { raisedFaults } from './raised.ts';
import { FRETS, JOB_RANGES } from './ranges.ts';
import { type Located, type Path, valueAt } from './yamlText.ts';

const mm = (value: number): string => bothPlain(value, 3);

const EVIDENCE: readonly Path[] = [
  ['asFound', 'lastFretGap'],
  ['asFound', 'straightedge'],
  ['bridge', 'lowest'],
];

/**
 * What one value alone cannot tell. Each check looks at the file's own values and is left out where one of those is not sound, so that
 * every problem is said at once and none is said twice.
 */
export function crossChecks(
  located: Located,
  unit: Unit | undefined,
  meant: ReadonlySet<string>,
  drawn?: Outline,
): { errors: Finding[]; warnings: Finding[] } {
  const errors: Finding[] = [];
  const warnings: Finding[] = [];
  const raw = (path: Path): unknown => valueAt(located.data, path);
  const has = (...path: Path): boolean => raw(path) !== undefined;
  /** A sound length in mm, or undefined. */
  const length = (key: keyof typeof JOB_RANGES, path: Path = key.split('.')): number | undefined => {
    if (unit === undefined) return undefined;
    const read = readLength(raw(path), unit, JOB_RANGES[key]);
    return read.ok ? read.value.mm : undefined;
  };
  const whole = (...path: Path): number | undefined => {
    const value = raw(path);
    return typeof value === 'number' && Number.isInteger(value) ? value : undefined;
  };
  const refuse = (code: string, path: Path, message: string, found: string, expected: string): void => {
    errors.push({ code, severity: 'error', exit: 2, message, place: located.valuePlace(path), found, expected });
  };

  // The neck along its length: nut, mouth, last fret, saddle.
  const scale = length('scale.length');
  const frets = whole('scale', 'frets');
  const nutToMouth = length('neck.nutToMouth');
  const pocketLength = drawn?.length ?? length('pocket.length');
  const isFrets = frets !== undefined && frets >= FRETS.least && frets <= FRETS.most;
  const lastFret = scale === undefined || !isFrets ? undefined : scale * (1 - leftAtFret(frets));
  if (lastFret !== undefined && nutToMouth !== undefined && nutToMouth >= lastFret)
    refuse(
      'mouth-past-last-fret',
      ['neck', 'nutToMouth'],
      'the mouth would lie past the last fret',
      mm(nutToMouth),
      `less than ${mm(lastFret)}, where fret ${frets} of this scale stands`,
    );
  // The last fret stands before every saddle by the ranges alone: at most 3 octaves leave 37 mm of the shortest scale, and a saddle 25 mm back.
  if (scale !== undefined && nutToMouth !== undefined && pocketLength !== undefined && nutToMouth + pocketLength >= scale)
    refuse(
      'pocket-past-saddle',
      ['pocket', drawn === undefined ? 'length' : 'outline'],
      'the rear wall would lie past the saddles',
      mm(pocketLength),
      `less than ${mm(scale - nutToMouth)} with this scale and nutToMouth`,
    );
  const fromFret = whole('neck', 'fallAway', 'fromFret');
  if (isFrets && fromFret !== undefined && fromFret >= frets && fromFret < FRETS.most)
    refuse(
      'fall-away-past-last-fret',
      ['neck', 'fallAway', 'fromFret'],
      'the fall-away would start at or past the last fret',
      `${fromFret}`,
      `less than ${frets}`,
    );

  // Across: strings inside the crown's arc, one compensation a string.
  const spreads = [length('strings.spreadAtNut'), length('strings.spreadAtSaddle')].filter((each) => each !== undefined);
  const half = spreads.length === 2 ? Math.max(...spreads) / 2 : undefined;
  const radii: Path[] = [
    ['neck', 'radius'],
    ['neck', 'radius', 'atNut'],
    ['neck', 'radius', 'atLastFret'],
    ['bridge', 'radius'],
  ];
  for (const path of radii) {
    const radius = length(path[0] === 'bridge' ? 'bridge.radius' : 'neck.radius', path);
    if (half !== undefined && radius !== undefined && radius <= half)
      refuse(
        'strings-beyond-radius',
        path,
        'the outer strings would lie beyond the arc',
        mm(radius),
        `more than ${mm(half)}, half the strings' spread`,
      );
  }
  const count = whole('strings', 'count');
  const compensation = raw(['strings', 'compensation']);
  if (Array.isArray(compensation) && count !== undefined && compensation.length !== count)
    refuse(
      'compensation-count',
      ['strings', 'compensation'],
      'a list of compensations has one for each string',
      `${compensation.length}`,
      compensation.length === 2 * count ? `${count}; decimals are written with a point, not with a comma` : `${count}`,
    );

  // The pocket.
  const depth = length('pocket.depth');
  const body = length('pocket.body');
  if (depth !== undefined && body !== undefined && depth >= body)
    refuse(
      'pocket-through-body',
      ['pocket', 'depth'],
      'the pocket would go through the body',
      mm(depth),
      `less than pocket.body, ${mm(body)}`,
    );
  const radius = length('pocket.cornerRadius');
  const width = drawn === undefined ? length('pocket.width') : 2 * drawn.rearHalf;
  const widthAtMouth = has('pocket', 'widthAtMouth') ? length('pocket.widthAtMouth') : width;
  if (radius !== undefined && width !== undefined && widthAtMouth !== undefined && pocketLength !== undefined) {
    // The corner's arc starts R tan(theta / 2) from the corner, theta being the turn from the side wall to the rear wall.
    const lean = Math.atan2((widthAtMouth - width) / 2, pocketLength);
    const perRadius = Math.tan((Math.PI / 2 - lean) / 2);
    const room = Math.min(width / 2, Math.hypot(pocketLength, (widthAtMouth - width) / 2)) / perRadius;
    if (radius > room)
      refuse(
        'corner-too-round',
        ['pocket', 'cornerRadius'],
        'the corner arcs do not fit in the pocket',
        mm(radius),
        `at most ${mm(room)}`,
      );
  }
  const screws = raw(['pocket', 'screws']);
  (Array.isArray(screws) ? screws : []).forEach((_, index) => {
    const x = length('pocket.screws.x', ['pocket', 'screws', index, 'x']);
    const y = length('pocket.screws.y', ['pocket', 'screws', index, 'y']);
    if (x === undefined || y === undefined || pocketLength === undefined || width === undefined || widthAtMouth === undefined)
      return;
    const halfHere = (widthAtMouth + ((width - widthAtMouth) * x) / pocketLength) / 2;
    if (x > 0 && x < pocketLength && Math.abs(y) < halfHere) return;
    const place = located.valuePlace(['pocket', 'screws', index]);
    const message = `screw ${index + 1} stands outside the pocket`;
    warnings.push({ code: 'screw-outside', severity: 'warning', exit: null, message, place, found: `x ${mm(x)}, y ${mm(y)}` });
  });

  if (has('pocket', 'outline'))
    for (const key of ['length', 'width', 'widthAtMouth', 'cornerRadius'])
      if (has('pocket', key))
        refuse(
          'outline-and-sizes',
          ['pocket', key],
          `pocket.${key} is given beside a drawn outline`,
          'both',
          'either the drawing or the measured sizes',
        );

  // What must be there in one of several forms.
  if (isSection(raw(['pocket'])) && !has('pocket', 'outline'))
    for (const key of ['length', 'width'])
      if (!has('pocket', key) && !isMeant(`pocket.${key}`, meant))
        errors.push(missingKey(`pocket.${key}`, located, ['pocket', key]));
  const nut: Path[] = [
    ['neck', 'nutGap'],
    ['asFound', 'firstFretGap'],
  ];
  if (isSection(raw(['neck'])) && nut.every((path) => !has(...path) && !isMeant(path.join('.'), meant)))
    errors.push(missingKey('neck.nutGap (or asFound.firstFretGap)', located, ['neck', 'nutGap']));
  if (EVIDENCE.every((path) => !has(...path) && !isMeant(path.join('.'), meant))) {
    const place = located.keyPlace(['asFound']);
    const expected = 'asFound.lastFretGap, asFound.straightedge or bridge.lowest';
    errors.push({
      code: 'no-evidence',
      severity: 'error',
      exit: 2,
      message: 'nothing tells how high the saddles stand',
      place,
      found: 'none of them',
      expected,
    });
  }
  const fits = raw(['fits']);
  (Array.isArray(fits) ? fits : []).forEach((fit, i) => {
    const isGiven = (key: string): boolean => has('fits', i, key) || isMeant(pathText(['fits', i, key]), meant);
    if (!isSection(fit) || isGiven('lastFretGap')) return;
    const missing = (name: string): Finding => missingKey(`${name} of fit ${i + 1}`, located, ['fits', i, 'lastFretGap']);
    if (!isGiven('lowest') && !isGiven('highest')) errors.push(missing('lastFretGap (or lowest, or highest)'));
    // A leaf or rod is tried with the saddles all the way down or up: raised says how a gap was read.
    else if (has('fits', i, 'raised'))
      errors.push({ ...missing('lastFretGap'), remedy: 'raised is of the gap; leave it out where none was read' });
  });
  errors.push(...raisedFaults(located, unit));
  return { errors, warnings };
}

function isSection(value: unknown): boolean {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
