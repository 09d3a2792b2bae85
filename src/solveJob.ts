import { floorOf } from './floor/floor.ts';
import { outlineOfValues } from './instrument/equations.ts';
import { kindsGiven, placeInstrument } from './instrument/evidence.ts';
import { mountingOf, mountingWarnings } from './instrument/mounting.ts';
import type { Text } from './job/family.ts';
import type { Job } from './job/job.ts';
import { readJob } from './job/readJob.ts';
import { bothUnits, readDimension } from './kernel/dimension.ts';
import { bad, type Finding, good, type Result } from './kernel/findings.ts';
import { fingerprintOf } from './kernel/fingerprint.ts';
import { valuesOf } from './kernel/measured.ts';
import { toDegrees, toRadians, type Unit } from './kernel/units.ts';
import { fallsShort, hardlyACutText, isHardlyACut } from './report/aim.ts';
import { tooSteepAsDrawn } from './report/head.ts';
import type { Outcome } from './report/outcome.ts';
import { lengthsIn } from './report/text.ts';
import { fitStateOf } from './solve/fitting.ts';
import { depthNoted } from './solve/noted.ts';
import { type Setting, settingOf } from './solve/setting.ts';
import { sidewaysOf } from './solve/sideways.ts';
import type { Solution } from './solve/solve.ts';
import { solveEvidence } from './solve/solveEvidence.ts';
import { stopsOf } from './solve/stops.ts';

// The pipeline's first half, apart so that `solve` does not load what draws and routes.

/** A text and the name to say in findings. */
export interface Named extends Text {
  /** Of a job: those that it is `like`, the nearest first. */
  readonly bases?: readonly Text[] | undefined;
  /** Of a job: the drawing that its `pocket.outline` names. */
  readonly drawing?: Text | undefined;
}

/** mm over the 12th fret: a middling action to show the saddles at, where none is asked for (memory, common practice). */
const USUAL_ACTION_MM = 1.8;
/** mm. No playing action over the 12th fret is outside of this. */
const ACTION_MM = { least: 0.3, most: 12 };

function rangeWarnings(solution: Solution, units: Unit): Finding[] {
  const { short } = lengthsIn(units);
  const warn = (code: string, message: string): Finding => ({ code, severity: 'warning', exit: null, message });
  const help = 'a bridge with more travel, or one set higher, would help';
  const most = 'at their highest the saddles fall';
  if (fallsShort(solution.shortBy))
    return [warn('range-short', `${most} ${short(solution.shortBy)} short of what any playing action needs: ${help}`)];
  if (fallsShort(solution.wishShortBy))
    return [warn('wish-short', `${most} ${short(solution.wishShortBy)} short of the height wished for: ${help}`)];
  return [];
}

/** rad. Floors are commonly pitched by half a degree (common practice, no source); three times that is seldom right. */
const UNUSUAL_PITCH_RAD = toRadians(1.5);

function slopeWarnings({ pitch }: Solution): Finding[] {
  if (Math.abs(pitch) <= UNUSUAL_PITCH_RAD) return [];
  const message = `a slope of ${Math.abs(toDegrees(pitch)).toFixed(1)} degrees is far beyond the usual half: measure the gaps again, and look at the other cures (pocketpitch compare), before you cut`;
  return [{ code: 'slope-unusual', severity: 'warning', exit: null, message }];
}

/** A tongue that the body stops keeps the heel off its floor. */
function tongueWarnings(setting: Setting, units: Unit): Finding[] {
  const { tongue } = setting;
  if (tongue === null || tongue.after > 0) return [];
  const message = `the fretboard's tongue would enter the body's top by ${lengthsIn(units).short(-tongue.after)}: relieve the top under it, or the heel will not sit down`;
  return [{ code: 'tongue-touches', severity: 'warning', exit: null, message }];
}

/** A cut that is lost in its own ± is said before it is made. */
function littleWarnings(outcome: Outcome): Finding[] {
  if (!isHardlyACut(outcome)) return [];
  return [{ code: 'hardly-a-cut', severity: 'warning', exit: null, message: hardlyACutText(outcome).replace(/\.$/, '') }];
}

/** An action asked for, as written at the bench: over the 12th fret, in the job's units or its own. */
function actionOf(text: string | undefined, units: Unit): Result<number> {
  if (text === undefined) return good(USUAL_ACTION_MM);
  const read = readDimension(text, units);
  if (read.ok && read.dimension.value >= ACTION_MM.least && read.dimension.value <= ACTION_MM.most)
    return good(read.dimension.value);
  const finding: Finding = {
    code: 'action-unusable',
    severity: 'error',
    exit: 2,
    message: `'${text}' is no action over the 12th fret: ${read.ok ? 'out of range' : read.why}`,
    expected: `${bothUnits(ACTION_MM.least)} to ${bothUnits(ACTION_MM.most)}, written like 1.8, "1.8 mm" or "5/64 in"`,
  };
  return bad([finding]);
}

/** Findings of a job that nothing but its drawing tells about are said as those of a plan. */
function asPlanned(findings: readonly Finding[], job: Job): readonly Finding[] {
  const values = valuesOf(job);
  if (job.fits.length > 0 || kindsGiven(values)[0] !== 'drawing') return findings;
  const instrument = placeInstrument(values, 'drawing');
  return findings.map((finding) => tooSteepAsDrawn(finding, job, instrument, outlineOfValues(values)));
}

function clampingWarnings({ pocket, hand }: Job, solution: Solution): Finding[] {
  if (pocket.mounted === undefined) return [];
  return mountingWarnings(mountingOf(pocket.mounted, solution.outline, hand === 'right' ? 1 : -1));
}

/**
 * A job's text to all that is known about it before anything is drawn or routed. `action` is a shop dimension. With `value-only` nothing is
 * worked out of how sure it is: for what only draws, while somebody types.
 */
export function solveText(source: Named, action?: string, want: 'all' | 'value-only' = 'all'): Result<Outcome> {
  const read = readJob(source.text, source.file, source.drawing, source.bases);
  if (!read.ok) return read;
  const wanted = actionOf(action, read.value.units);
  if (!wanted.ok) return wanted;
  const solved = solveEvidence(read.value, want);
  if (!solved.ok) return bad(asPlanned(solved.findings, read.value));
  const { solution, uncertainty, evidence } = solved.value;
  const floor = floorOf(solution);
  if (!floor.ok) return bad(floor.findings);
  const setting = settingOf(solution, wanted.value);
  const { units, fits } = read.value;
  const outcome: Outcome = {
    job: read.value,
    fingerprint: fingerprintOf(source.text + (source.drawing?.text ?? ''), ...(source.bases ?? []).map((base) => base.text)),
    solution,
    floor: floor.value,
    uncertainty,
    evidence,
    stops: stopsOf(solved.value),
    fitting: fits.length === 0 ? null : fitStateOf(solved.value, fits),
    setting,
    action: wanted.value,
    sideways: sidewaysOf(solution.instrument.job, solution.outline),
    stays: [],
    staysForRim: [],
    shopAssumed: [],
    warnings: [
      ...read.warnings,
      ...solved.value.warnings,
      ...floor.warnings,
      ...slopeWarnings(solution),
      ...rangeWarnings(solution, units),
      ...clampingWarnings(read.value, solution),
      ...tongueWarnings(setting, units),
    ],
  };
  return good({ ...outcome, warnings: [...littleWarnings(outcome), ...outcome.warnings] });
}

/** Said beside a program for a pocket that is partly filed already. */
export function partlyFiled({ job }: Outcome): string[] {
  const off = depthNoted(job);
  if (off <= 0) return [];
  return [
    `the program starts from the floor as found: ${lengthsIn(job.units).short(off)} is off already at the deepest edge, so its first passes cut air there`,
  ];
}
