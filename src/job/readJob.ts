import type * as z from 'zod';
import { bad, type Finding, good, type Result } from '../kernel/findings.ts';
import { type Measured, measured } from '../kernel/measured.ts';
import type { Outline } from '../kernel/outline.ts';
import type { Unit } from '../kernel/units.ts';
import { assumedOf } from './assumed.ts';
import { crossChecks } from './crossChecks.ts';
import { doubtsOf } from './doubts.ts';
import { drawnOutline } from './drawnOutline.ts';
import type { Job } from './job.ts';
import { DRAWING_NAME, type JobFile, jobSchema } from './jobSchema.ts';
import { otherKind, unusedPlusMinus } from './kinds.ts';
import { inOrder, type KnownKeys, problemsOf } from './problems.ts';
import type { Drawing } from './svgDrawing.ts';
import { readYaml, valueAt } from './yamlText.ts';

const NONE: KnownKeys = {};
const keys = (text: string): KnownKeys => Object.fromEntries(text.split(' ').map((key) => [key, NONE]));
const SIDES = keys('bass treble');

/** The schema's keys once more, for hints: a test holds the two together. */
export const JOB_KEYS: KnownKeys = {
  ...keys('job title units hand'),
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
  fits: { ...keys('on note shim'), depth: SIDES, lastFretGap: SIDES, raised: SIDES },
  target: keys('gap within highest wished floor skim'),
};

/** The drawing that a job's text names, as written there; undefined where it names none soundly. */
export function drawingNamed(text: string): string | undefined {
  const yaml = readYaml(text, '');
  const named = yaml.ok ? valueAt(yaml.value.data, ['pocket', 'outline']) : undefined;
  return typeof named === 'string' && DRAWING_NAME.test(named) ? named : undefined;
}

/** Reads a job file and the drawing it names: every problem of them at once, each with its place. */
export function readJob(text: string, file: string, drawing?: Drawing): Result<Job> {
  const yaml = readYaml(text, file);
  if (!yaml.ok) return bad(yaml.findings);
  const located = yaml.value;
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
  const missing: Finding[] =
    named === undefined || drawing !== undefined
      ? []
      : [
          {
            code: 'outline-not-given',
            severity: 'error',
            exit: 2,
            message: 'the drawing that pocket.outline names was not handed over',
            place: located.valuePlace(['pocket', 'outline']),
            found: named,
            expected: 'its text beside the job',
          },
        ];
  const findings: readonly Finding[] = [
    ...inOrder([...problems.findings, ...errors, ...missing]),
    ...(drawn === undefined || drawn.ok ? [] : drawn.findings),
  ];
  if (findings.length > 0 || !parsed.success) return bad(findings);
  return good(jobOf(parsed.data, located.data, outline), [
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
function jobOf(file: JobFile, data: unknown, drawn: Outline | undefined): Job {
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
      shim: fit.shim,
      on: fit.on,
      note: fit.note,
    })),
    target: file.target,
    assumed: assumedOf(file, data),
  };
}
