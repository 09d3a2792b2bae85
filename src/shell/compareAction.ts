import type { Shim } from '../floor/shim.ts';
import { findingText } from '../kernel/findings.ts';
import { depthAt, type FloorPlane } from '../kernel/plane.ts';
import { curesJson, curesText, thinText } from '../report/cures.ts';
import type { Outcome } from '../report/outcome.ts';
import { lengthsIn } from '../report/text.ts';
import { type CureName, curesOf } from '../solve/cures.ts';
import { depthNoted } from '../solve/noted.ts';
import { type Output, writeWhole } from './files.ts';
import { solvedWithShop, usage } from './jobs.ts';
import { InputProblem } from './problem.ts';
import type { Said } from './said.ts';

export interface CompareOptions {
  readonly json?: boolean;
  readonly wedge?: string;
  readonly flat?: string;
  readonly replace?: boolean;
}

/** How a solid of ours begins: such a file may be replaced. */
const SOLID_MARK = /^solid pocketpitch-/;

interface Printable {
  readonly output: Output;
  readonly said: string;
}

/**
 * The upper face of the shim that puts back what was filed too much (body frame, depth below the floor as filed): as thick at the middle of
 * the edge where fits are measured as the last fit says, nothing at the other. Undefined where there is nothing to put back, or where the
 * readings contradict each other.
 */
function wayBackPlane({ fitting, solution, job }: Outcome): FloorPlane | undefined {
  if (fitting === null || fitting.wayBack <= 0 || fitting.surprise !== null) return undefined;
  const thick = fitting.wayBack + (job.fits[job.fits.length - 1]?.shim?.value ?? 0);
  const { length } = solution.outline;
  const fromMouth = fitting.edge === 'mouth';
  return { hinge: { x: fromMouth ? length : 0, y: 0 }, skim: 0, gx: (fromMouth ? 1 : -1) * (thick / length), gy: 0 };
}

/** One shim as a file and a line about it. */
async function printable(outcome: Outcome, name: 'wedge-shim' | 'flat-shim', path: string): Promise<Printable> {
  const option = name === 'wedge-shim' ? '--wedge' : '--flat';
  if (!path.endsWith('.stl')) throw usage(`a solid is written as .stl, not '${path}'`, `name it like ${name}.stl (${option})`);
  const back = name === 'wedge-shim' ? wayBackPlane(outcome) : undefined;
  if (back === undefined && depthNoted(outcome.job) > 0)
    throw new InputProblem([
      {
        code: 'no-such-shim',
        severity: 'error',
        exit: 3,
        message: `wood is off already, and no ${name.replace('-', ' ')} for the floor as it was found belongs on the floor as it is`,
        remedy: 'note each fit: where too much came off, --wedge writes the shim that puts it back',
      },
    ]);
  const cure = curesOf(outcome.solution).find((each) => each.name === (name satisfies CureName));
  const plane = back ?? cure?.plane;
  if (plane === undefined)
    throw new InputProblem([
      {
        code: 'no-such-shim',
        severity: 'error',
        exit: 3,
        message: `no ${name.replace('-', ' ')} brings this job where it should be`,
      },
    ]);
  const { shimOf, stlText } = await import('../floor/shim.ts');
  const shim: Shim = shimOf(outcome.solution.outline, plane);
  const say = lengthsIn(outcome.job.units);
  const ends =
    name === 'wedge-shim'
      ? `${say.full(shim.thickest)} thick at the ${depthAt(plane, 0, 0) < depthAt(plane, outcome.solution.outline.length, 0) ? 'mouth' : 'rear wall'}, running out to ${say.short(shim.thinnest)}`
      : `${say.full(shim.thickest)} thick`;
  return {
    output: { path, bytes: stlText(shim, `pocketpitch-${name}-${outcome.fingerprint}`), mark: SOLID_MARK },
    said: `Wrote ${path}: ${ends}, ${(shim.volume / 1000).toFixed(2)} cm3, in millimetres; drill the screw holes through it in place${thinText(shim.thickest, outcome.job.units)}`,
  };
}

export async function compareAction(job: string, options: CompareOptions): Promise<Said> {
  const { outcome, warnings } = solvedWithShop(job, undefined);
  const made: Printable[] = [];
  if (options.wedge !== undefined) made.push(await printable(outcome, 'wedge-shim', options.wedge));
  if (options.flat !== undefined) made.push(await printable(outcome, 'flat-shim', options.flat));
  if (made.length > 0)
    writeWhole(
      made.map(({ output }) => output),
      options.replace === true,
    );
  const out = options.json === true ? `${JSON.stringify(curesJson(outcome), null, 2)}\n` : curesText(outcome);
  return { out, notes: [...(options.json === true ? warnings.map(findingText) : []), ...made.map(({ said }) => said)] };
}
