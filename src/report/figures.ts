import type { Finding } from '../kernel/findings.ts';
import { toDegrees, type Unit } from '../kernel/units.ts';
import { type Now, nowOf } from './now.ts';
import { fromDrawingAlone, type Outcome } from './outcome.ts';

/** What a list of many jobs says of each: mm and degrees, unrounded; each uncertainty is two standard deviations. */
export interface Figures {
  readonly title: string;
  readonly units: Unit;
  /** The whole depth from the floor as found, whatever is filed already; 0 where no cut is needed. */
  readonly deepest: number;
  readonly deepestUncertainty: number;
  /** The edge along which nothing (or the skim alone) comes off: the cut is deepest opposite. */
  readonly hinge: Outcome['solution']['hingeName'];
  /** Positive back, negative forward. */
  readonly pitch: number;
  readonly pitchUncertainty: number;
  /** How far the saddles at their highest fall short of any playing action, and of the height wished for. */
  readonly shortBy: number;
  readonly wishShortBy: number;
  /** No reading was taken on the instrument: to plan by, not to cut by. */
  readonly fromDrawingAlone: boolean;
  readonly now: Now;
  readonly warnings: readonly { readonly code: string; readonly message: string }[];
}

export function figuresOf(outcome: Outcome, warnings: readonly Finding[]): Figures {
  const { solution, uncertainty, floor, job } = outcome;
  return {
    title: job.title,
    units: job.units,
    deepest: floor.deepest,
    deepestUncertainty: uncertainty.deepest,
    hinge: solution.hingeName,
    // Minus zero is a number nobody measured.
    pitch: toDegrees(solution.pitch) + 0,
    pitchUncertainty: toDegrees(uncertainty.pitch),
    shortBy: solution.shortBy,
    wishShortBy: solution.wishShortBy,
    fromDrawingAlone: fromDrawingAlone(outcome),
    now: nowOf(outcome),
    warnings: warnings.map(({ code, message }) => ({ code, message })),
  };
}
