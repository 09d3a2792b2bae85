import { bothUnits } from '../kernel/dimension.ts';
import type { Finding } from '../kernel/findings.ts';
import { type Crowns, crownsOf, type JobValues, type Sides } from './neck.ts';
import { nutHeights, readingOf, type StringPlan, seatHeights, stringPlans, yAlong } from './strings.ts';

export type EvidenceKind = 'lastFretGap' | 'straightedge' | 'drawing';

/** One outer string as the readings place it, neck frame, in the state measured: heights at the nut and at the saddle seat. */
interface OuterString {
  readonly zNut: number;
  /** Saddle as measured, `raised` not yet taken off. */
  readonly zSeat: number;
}

/** The instrument as it stands on the floor as found, saddles at their lowest: all in the neck frame (= body frame then). */
export interface Instrument {
  readonly job: JobValues;
  readonly crowns: Crowns;
  readonly plans: readonly StringPlan[];
  /** Heights per string, bass first. */
  readonly nut: readonly number[];
  readonly seatLowest: readonly number[];
  readonly kind: EvidenceKind;
}

/** Height of the straight line through (s0, z0) and (s1, z1), at s. */
function lineAt(s0: number, z0: number, s1: number, z1: number, s: number): number {
  return z0 + ((z1 - z0) * (s - s0)) / (s1 - s0);
}

/** The line a straightedge takes from the crown of fret 1 over the fret that makes it steepest, carried on to `s`. */
export function straightedgeAt(crowns: Crowns, plan: StringPlan, s: number): number {
  const s1 = crowns.places[1] ?? 0;
  const z1 = crowns.crown(s1, yAlong(plan, s1));
  let steepest = Number.NEGATIVE_INFINITY;
  for (let m = 2; m <= crowns.frets; m++) {
    const sm = crowns.places[m] ?? 0;
    steepest = Math.max(steepest, (crowns.crown(sm, yAlong(plan, sm)) - z1) / (sm - s1));
  }
  return z1 + steepest * (s - s1);
}

/** The kinds of evidence a job gives, the readings before the drawing. */
export function kindsGiven(job: JobValues): EvidenceKind[] {
  return [
    ...(job.asFound.lastFretGap === undefined ? [] : (['lastFretGap'] as const)),
    ...(job.asFound.straightedge === undefined ? [] : (['straightedge'] as const)),
    ...(job.bridge.lowest === undefined ? [] : (['drawing'] as const)),
  ];
}

function outerString(
  job: JobValues,
  crowns: Crowns,
  plan: StringPlan,
  side: keyof Sides,
  kind: EvidenceKind,
  byNut = job.neck.nutGap !== undefined,
): OuterString {
  const at = (reading: number | Sides | undefined): number => readingOf(reading)?.[side] ?? 0;
  const raised = at(job.asFound.raised);
  const s1 = crowns.places[1] ?? 0;
  const sN = crowns.places[crowns.frets] ?? 0;
  const { sSaddle } = plan;
  // The string's known point near the nut: the nut itself, or its height over the first fret.
  const sA = byNut ? 0 : s1;
  const zA = byNut
    ? crowns.plane(0) - crowns.sag(0, plan.yNut) + at(job.neck.nutGap)
    : crowns.crown(s1, yAlong(plan, s1)) + at(job.asFound.firstFretGap);
  let zSeat: number;
  if (kind === 'lastFretGap') {
    const zF = crowns.crown(sN, yAlong(plan, sN)) + at(job.asFound.lastFretGap);
    zSeat = lineAt(sA, zA, sN, zF, sSaddle);
  } else if (kind === 'straightedge') {
    zSeat = straightedgeAt(crowns, plan, sSaddle) + at(job.asFound.straightedge);
  } else {
    zSeat = job.pocket.depth + at(job.bridge.lowest) + raised;
  }
  return { zNut: lineAt(sA, zA, sSaddle, zSeat, 0), zSeat };
}

/** Places the saddle seats from one kind of evidence (geometry.md, "Saddle seats at their lowest"). */
export function placeInstrument(job: JobValues, kind: EvidenceKind): Instrument {
  const crowns = crownsOf(job);
  const plans = stringPlans(job);
  const first = plans[0] as StringPlan;
  const last = plans[plans.length - 1] as StringPlan;
  const bass = outerString(job, crowns, first, 'bass', kind);
  const treble = outerString(job, crowns, last, 'treble', kind);
  const raised = readingOf(job.asFound.raised) ?? { bass: 0, treble: 0 };
  const nut = nutHeights(crowns, plans, { bass: bass.zNut, treble: treble.zNut });
  const seatLowest = seatHeights(job, plans, {
    bass: bass.zSeat - raised.bass,
    treble: treble.zSeat - raised.treble,
  });
  return { job, crowns, plans, nut, seatLowest, kind };
}

/** Readings that a string cannot have given, by any pair of them: it lies on a fret, so the reading says nothing about its saddle. */
export function unusableReadings(job: JobValues): Finding[] {
  const findings: Finding[] = [];
  const remedy = 'raise the saddles by a known amount, read again and give that amount as asFound.raised';
  for (const key of ['lastFretGap', 'firstFretGap'] as const) {
    const sides = readingOf(job.asFound[key]);
    if (sides === undefined) continue;
    for (const side of ['bass', 'treble'] as const) {
      if (sides[side] > 0) continue;
      findings.push({
        code: 'string-on-fret',
        severity: 'error',
        exit: 2,
        message: `asFound.${key} on the ${side} side is not above 0: a string that lies on a fret says nothing`,
        found: `${sides[side]} mm`,
        expected: 'more than 0',
        remedy,
      });
    }
  }
  if (findings.length > 0) return findings;
  const crowns = crownsOf(job);
  const plans = stringPlans(job);
  const kinds = kindsGiven(job).filter((kind) => kind !== 'drawing');
  const nuts = [...(job.neck.nutGap === undefined ? [] : [true]), ...(job.asFound.firstFretGap === undefined ? [] : [false])];
  for (const side of ['bass', 'treble'] as const) {
    const plan = (side === 'bass' ? plans[0] : plans[plans.length - 1]) as StringPlan;
    for (const [kind, byNut] of kinds.flatMap((each) => nuts.map((nut) => [each, nut] as const))) {
      const { zNut, zSeat } = outerString(job, crowns, plan, side, kind, byNut);
      const fret = crowns.places.findIndex(
        (s, n) => n > 0 && crowns.crown(s, yAlong(plan, s)) > lineAt(0, zNut, plan.sSaddle, zSeat, s),
      );
      if (fret < 0) continue;
      const s = crowns.places[fret] ?? 0;
      const below = crowns.crown(s, yAlong(plan, s)) - lineAt(0, zNut, plan.sSaddle, zSeat, s);
      const by = `${byNut ? 'neck.nutGap' : 'asFound.firstFretGap'} and asFound.${kind}`;
      findings.push({
        code: 'string-under-crown',
        severity: 'error',
        exit: 2,
        message: `by ${by} the ${side} string would run ${bothUnits(below)} below the crown of fret ${fret}`,
        remedy,
      });
    }
  }
  return findings;
}
