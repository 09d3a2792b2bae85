import { toDegrees } from '../kernel/units.ts';
import type { FitState } from '../solve/fitting.ts';
import type { Reach } from '../solve/gaps.ts';
import { hasStops, type Outcome } from './outcome.ts';

/** Minus zero is a number nobody measured. */
const plain = (value: number): number => (value === 0 ? 0 : value);

const reachJson = (reach: Reach) => ({ low: reach.low.map(({ gap, fret }) => ({ gap, fret })), high: [...reach.high] });

/** What the last fit says (contract.md, `fit --json`). */
function fitPart(state: FitState) {
  const { reached, left, leftUncertainty, next, nextAt, done, surprise, past, pastUncertainty, doubt, gauge, wayBack } = state;
  return {
    reached: { ...reached },
    left,
    leftUncertainty,
    next,
    nextAt: { ...nextAt },
    done,
    surprise,
    past,
    pastUncertainty,
    doubt,
    gauge: gauge === null ? null : { ...gauge },
    wayBack,
  };
}

/** The document of contract.md "JSON", after a test fit with its part: mm, degrees, unrounded; every `uncertainty` is two standard deviations. */
export function outcomeJson(outcome: Outcome) {
  const { solution, floor, uncertainty, sideways } = outcome;
  const { target } = outcome.job;
  const { plane } = solution;
  return {
    format: 1,
    pitch: { angle: plain(toDegrees(solution.pitch)), uncertainty: toDegrees(uncertainty.pitch) },
    roll: { angle: plain(toDegrees(solution.roll)), uncertainty: toDegrees(uncertainty.roll) },
    floor: {
      hinge: solution.hingeName,
      gradient: { x: plain(plane.gx), y: plain(plane.gy) },
      skim: plane.skim,
      depth: { ...floor.depths },
      deepest: floor.deepest,
      deepestUncertainty: uncertainty.deepest,
      volume: floor.volume,
      thinnest: floor.thinnest,
    },
    ...(outcome.fitting === null ? {} : { fit: fitPart(outcome.fitting) }),
    nutDrop: plain(solution.nutDrop),
    asFound: reachJson(solution.asFound),
    afterCut: reachJson(solution.afterCut),
    range: {
      lowest: solution.afterCut.lowest,
      highest: solution.afterCut.highest,
      wantedLowest: target.gap,
      wantedHighest: target.highest,
      shortBy: solution.shortBy,
      wished: target.wished,
      wishShortBy: solution.wishShortBy,
    },
    gain: solution.gain,
    // Once the floor is as it should be, or something is read again first, there is nowhere to file to.
    stops: (hasStops(outcome) ? outcome.stops : []).map(({ deepest, why, at, read }) => ({
      deepest,
      why,
      at: { ...at },
      read: { raised: read.raised, gaps: { ...read.gaps } },
    })),
    budget: uncertainty.budget.map(({ input, share }) => ({ input, share })),
    evidence: outcome.evidence.map(({ kind, agrees }) => ({ kind, agrees })),
    sideways:
      sideways === null ? null : { yaw: toDegrees(sideways.yaw), nutShift: sideways.nutShift, walls: { ...sideways.walls } },
    screws: floor.screws.map(({ x, y, hold, tip, holdBefore, offset }) => ({ x, y, hold, tip: tip ?? null, holdBefore, offset })),
    stays: outcome.stays.map((stay) => ({ ...stay })),
    ...(outcome.staysForRim.length === 0 ? {} : { staysForRim: outcome.staysForRim.map((stay) => ({ ...stay })) }),
    assumed: [...uncertainty.assumed, ...outcome.job.assumed, ...outcome.shopAssumed],
    setting: {
      heel: { ...outcome.setting.heel },
      lengthChange: [...outcome.setting.lengthChange],
      crowns: { ...outcome.setting.crowns },
      tongue: outcome.setting.tongue === null ? null : { ...outcome.setting.tongue },
      action: outcome.action,
      saddles: { bass: { ...outcome.setting.saddles.bass }, treble: { ...outcome.setting.saddles.treble } },
      gaps: outcome.setting.gaps.map(({ fret, lowest, highest, chosen }) => ({
        fret,
        lowest: { ...lowest },
        highest: { ...highest },
        chosen: { ...chosen },
      })),
    },
    warnings: outcome.warnings.map(({ code, message }) => ({ code, message })),
  };
}
