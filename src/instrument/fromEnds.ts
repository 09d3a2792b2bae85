import type { Ends } from './equations.ts';
import type { EvidenceKind, Instrument } from './evidence.ts';
import { crownsOf, type JobValues } from './neck.ts';
import { nutHeights, seatHeights, stringPlans } from './strings.ts';

/** The heights of the outer strings' ends of an instrument. The pair of `instrumentFromEnds`. */
export function endsOf(instrument: Instrument): Ends {
  const last = instrument.plans.length - 1;
  const pair = (heights: readonly number[]) => ({ bass: heights[0] ?? 0, treble: heights[last] ?? 0 });
  return { nut: pair(instrument.nut), seat: pair(instrument.seatLowest) };
}

/** The instrument whose outer strings end at these heights; the inner ones follow (geometry.md). */
export function instrumentFromEnds(job: JobValues, ends: Ends, kind: EvidenceKind): Instrument {
  const crowns = crownsOf(job);
  const plans = stringPlans(job);
  return {
    job,
    crowns,
    plans,
    nut: nutHeights(crowns, plans, ends.nut),
    seatLowest: seatHeights(job, plans, ends.seat),
    kind,
  };
}
