import type * as z from 'zod';
import { bad, type Finding, good, type Result } from '../kernel/findings.ts';
import { type Measured, measured } from '../kernel/measured.ts';
import type { Outline } from '../kernel/outline.ts';
import type { Unit } from '../kernel/units.ts';
import { assumedOf } from './assumed.ts';
import { crossChecks } from './crossChecks.ts';
import { doubtsOf } from './doubts.ts';
import { drawnOutline } from './drawnOutline.ts';
import { mayHaveKey, readFamily, type Text } from './family.ts';
import type { Job } from './job.ts';
import { DRAWING_NAME, type JobFile, jobSchema } from './jobSchema.ts';
import { otherKind, unusedPlusMinus } from './kinds.ts';
import { inOrder, type KnownKeys, problemsOf } from './problems.ts';
import type { Drawing } from './svgDrawing.ts';
import { type Located, type Path, valueAt } from './yamlText.ts';

const NONE: KnownKeys = {};
const keys = (text: string): KnownKeys => Object.fromEntries(text.split(' ').map((key) => [key, NONE]));
const SIDES = keys('bass treble');

/** The schema's keys once more, for hints: a test holds the two together. */
export const JOB_KEYS: KnownKeys = {
  ...keys('job like title units hand'),
  scale: keys('length frets'),
  strings: keys('count spreadAtNut spreadAtSaddle compensation'),
  neck: {
    ...keys('nutToMouth seatToCrown relief crownTilt heelWood'),
    nutGap: SIDES,
    radius: keys('atNut atLastFret'),
    fallAway: keys('fromFret drop'),
  },
  pocket: {
    ...keys('length width widthAtMouth cornerRadius depth body leastFloor clearBefore outline'),
    screws: keys('x y'),
    mounted: keys('mouthBass mouthTreble rearBass rearTreble'),
  },
  screw: keys('length plate leastHold'),
  bridge: { ...keys('travel radius'), lowest: SIDES },
  asFound: { lastFretGap: SIDES, straightedge: SIDES, firstFretGap: SIDES, edge: SIDES, raised: SIDES },
  fits: { ...keys('on note shim lowest highest'), depth: SIDES, lastFretGap: SIDES, raised: SIDES },
  target: keys('gap within highest wished floor skim'),
};

/** The drawing that a job names, or its base for it: as written, and the file that says so. Undefined where none is named soundly. */
export function drawingNamed(text: string, file = '', bases: readonly Text[] = []): { name: string; file: string } | undefined {
  if (![text, ...bases.map((base) => base.text)].some((each) => mayHaveKey(each, 'outline'))) return undefined;
  const family = readFamily(text, file, bases);
  const path = ['pocket', 'outline'];
  const named = family.ok ? valueAt(family.value.data, path) : undefined;
  if (!family.ok || typeof named !== 'string' || !DRAWING_NAME.test(named)) return undefined;
  return { name: named, file: family.value.valuePlace(path).file };
}

function notGiven(code: string, what: string, located: Located, path: Path, found: string): Finding {
  const message = `${what} was not handed over`;
  return {
    code,
    severity: 'error',
    exit: 2,
    message,
    place: located.valuePlace(path),
    found,
    expected: 'its text beside the job',
  };
}

/** Who expects a base to bring readings along is told why it does not. */
function ownReadings(error: Finding, bases: readonly Text[]): Finding {
  if (error.code !== 'no-evidence' || bases.length === 0) return error;
  return { ...error, remedy: "readings and fits are this instrument's own and are never taken from the job that it is like" };
}

/**
 * Reads a job file with the drawing it names and the jobs it is like (the nearest first): every problem of them at once, each with its
 * place in the file that says it.
 */
export function readJob(text: string, file: string, drawing?: Drawing, bases: readonly Text[] = []): Result<Job> {
  const family = readFamily(text, file, bases);
  if (!family.ok) return bad(family.findings);
  const located = family.value;
  const other = otherKind(located, 'job');
  if (other !== undefined) return bad([other]);
  const { units } = located.data;
  const unit: Unit | undefined = units === 'mm' || units === 'in' ? units : undefined;
  const parsed = jobSchema(unit).safeParse(located.data);
  const issues: readonly z.core.$ZodIssue[] = parsed.success ? [] : parsed.error.issues;
  const problems = problemsOf(issues, located, JOB_KEYS);
  const drawn = drawing === undefined ? undefined : drawnOutline(drawing, located.data.hand === 'left' ? 'left' : 'right');
  const outline = drawn?.ok ? drawn.value : undefined;
  const { errors, warnings } = crossChecks(located, unit, problems.meant, outline);
  const named = parsed.success ? parsed.data.pocket.outline : undefined;
  const missing: Finding[] = [];
  if (named !== undefined && drawing === undefined)
    missing.push(notGiven('outline-not-given', 'the drawing that pocket.outline names', located, ['pocket', 'outline'], named));
  const like = parsed.success ? parsed.data.like : undefined;
  if (like !== undefined && bases.length === 0)
    missing.push(notGiven('like-not-given', 'the job that this one is like', located, ['like'], like));
  const order = [file, ...bases.map((base) => base.file)];
  const findings: readonly Finding[] = [
    ...inOrder([...problems.findings, ...errors.map((error) => ownReadings(error, bases)), ...missing], order),
    ...(drawn === undefined || drawn.ok ? [] : drawn.findings),
  ];
  if (findings.length > 0 || !parsed.success) return bad(findings);
  return good(jobOf(parsed.data, located.data, outline, located.inherited), [
    ...warnings,
    ...doubtsOf(located, unit),
    ...unusedPlusMinus(located, PLAIN_LENGTHS),
  ]);
}

/** mm. How near a drawing's length and width are taken to be to the pocket's own: as measured ones without a ± (geometry.md, "Uncertainty"). */
const DRAWN_WITHIN_MM = 0.1;

/** Lengths that carry no uncertainty: a ± beside one of these changes nothing, which is worth a warning. */
const PLAIN_LENGTHS = [
  'pocket.cornerRadius',
  'pocket.leastFloor',
  'pocket.clearBefore',
  'screw.length',
  'screw.plate',
  'screw.leastHold',
  'target.gap',
  'target.within',
  'target.highest',
  'target.wished',
  'target.skim',
];

function bothSides(reading: Measured | { readonly bass: Measured; readonly treble: Measured }) {
  return 'kind' in reading ? { bass: reading, treble: reading } : reading;
}

/** The file's keys as the rest of the program knows them: what is absent is `undefined`, never missing. */
function jobOf(file: JobFile, data: unknown, drawn: Outline | undefined, inherited: readonly string[]): Job {
  const { neck, pocket, bridge, asFound } = file;
  return {
    title: file.title,
    units: file.units,
    hand: file.hand,
    scale: file.scale,
    strings: file.strings,
    neck: {
      nutToMouth: neck.nutToMouth,
      seatToCrown: neck.seatToCrown,
      nutGap: neck.nutGap,
      radius: neck.radius,
      relief: neck.relief,
      fallAway: neck.fallAway,
      crownTilt: neck.crownTilt,
      heelWood: neck.heelWood,
    },
    pocket: {
      // The cross-checks refuse a pocket without length and width and without an outline. A drawing's sizes are known like measured ones.
      length: drawn === undefined ? (pocket.length as Measured) : measured(drawn.length, DRAWN_WITHIN_MM, false),
      width: drawn === undefined ? (pocket.width as Measured) : measured(2 * drawn.rearHalf, DRAWN_WITHIN_MM, false),
      widthAtMouth: pocket.widthAtMouth,
      cornerRadius: pocket.cornerRadius,
      depth: pocket.depth,
      body: pocket.body,
      leastFloor: pocket.leastFloor,
      clearBefore: pocket.clearBefore,
      outline: pocket.outline,
      drawn,
      screws: pocket.screws,
      mounted: pocket.mounted,
    },
    screw: file.screw,
    bridge: { travel: bridge.travel, lowest: bridge.lowest, radius: bridge.radius },
    asFound: {
      lastFretGap: asFound.lastFretGap,
      straightedge: asFound.straightedge,
      firstFretGap: asFound.firstFretGap,
      edge: asFound.edge === undefined ? undefined : bothSides(asFound.edge),
      raised: asFound.raised,
    },
    fits: file.fits.map((fit) => ({
      depth: fit.depth,
      lastFretGap: fit.lastFretGap,
      raised: fit.raised,
      lowest: fit.lowest,
      highest: fit.highest,
      shim: fit.shim,
      on: fit.on,
      note: fit.note,
    })),
    target: file.target,
    assumed: assumedOf(file, data),
    inherited,
  };
}
