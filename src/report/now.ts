import { isWoodOff } from '../solve/noted.ts';
import { isHardlyACut } from './aim.ts';
import { isCutLeft, type Outcome } from './outcome.ts';

/** What a job's readings and fits ask for next, in a word or two. */
export const NOW_STATES = [
  'no cut needed',
  'to cut',
  'hardly a cut',
  'to file on',
  'read once more',
  'done',
  'too deep',
  'thin the shim',
  'measure again',
] as const;

/** Where a job stands (mm). */
export interface Now {
  readonly state: (typeof NOW_STATES)[number];
  /** To take off now, after a fit at the middle of the deepest edge; 0 in every state in which nothing is. */
  readonly left: number;
  /** Two standard deviations of what the readings leave to take off, whatever the state. */
  readonly leftUncertainty: number;
  /** How much too much is off there; 0 in every state but that one. */
  readonly tooDeep: number;
}

function stateOf(outcome: Outcome): Now['state'] {
  const { floor, fitting, job } = outcome;
  // A contradiction first: any other word would be one to act on.
  if (fitting !== null && fitting.surprise !== null) return 'measure again';
  if (isHardlyACut(outcome)) return 'hardly a cut';
  if (isCutLeft(outcome)) return isWoodOff(job) ? 'to file on' : 'to cut';
  if (fitting === null || (floor.deepest === 0 && !isWoodOff(job))) return 'no cut needed';
  if (fitting.doubt !== null) return 'read once more';
  if (fitting.done) return 'done';
  return fitting.wayBack > 0 ? 'too deep' : 'thin the shim';
}

/** What is left to do once the test fits are counted in: the whole depth alone tells nobody who has filed already. */
export function nowOf(outcome: Outcome): Now {
  const { floor, uncertainty, fitting, job } = outcome;
  const state = stateOf(outcome);
  const isLeft = state === 'to cut' || state === 'hardly a cut' || state === 'to file on';
  // A shim that is in comes out before any wood does.
  const shim = job.fits[job.fits.length - 1]?.shim?.value ?? 0;
  return {
    state,
    left: isLeft ? (fitting === null ? floor.deepest : fitting.left - shim) : 0,
    leftUncertainty: fitting === null ? uncertainty.deepest : fitting.leftUncertainty,
    tooDeep: state === 'too deep' && fitting !== null ? fitting.wayBack : 0,
  };
}
