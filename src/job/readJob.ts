import type * as z from 'zod';
import { bad, type Finding, good, type Result } from '../kernel/findings.ts';
import type { Measured } from '../kernel/measured.ts';
import type { Unit } from '../kernel/units.ts';
import { assumedOf } from './assumed.ts';
import { crossChecks } from './crossChecks.ts';
import type { Job } from './job.ts';
import { type JobFile, jobSchema } from './jobSchema.ts';
import { otherKind, unusedPlusMinus } from './kinds.ts';
import { inOrder, type KnownKeys, problemsOf } from './problems.ts';
import { readYaml } from './yamlText.ts';

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
  fits: { ...keys('on note'), depth: SIDES, lastFretGap: SIDES, raised: SIDES },
  target: keys('gap within highest wished floor skim'),
};

/** Reads a job file: every problem of it at once, each with its place. */
export function readJob(text: string, file: string): Result<Job> {
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
  const { errors, warnings } = crossChecks(located, unit, problems.meant);
  const findings: readonly Finding[] = [...problems.findings, ...errors];
  if (findings.length > 0 || !parsed.success) return bad(inOrder(findings));
  return good(jobOf(parsed.data, located.data), [...warnings, ...unusedPlusMinus(located, PLAIN_LENGTHS)]);
}

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
function jobOf(file: JobFile, data: unknown): Job {
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
      // The cross-checks refuse a pocket without length and width.
      length: pocket.length as Measured,
      width: pocket.width as Measured,
      widthAtMouth: pocket.widthAtMouth,
      cornerRadius: pocket.cornerRadius,
      depth: pocket.depth,
      body: pocket.body,
      leastFloor: pocket.leastFloor,
      clearBefore: pocket.clearBefore,
      outline: pocket.outline,
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
      on: fit.on,
      note: fit.note,
    })),
    target: file.target,
    assumed: assumedOf(file, data),
  };
}
