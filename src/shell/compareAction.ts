import type { Shim } from '../floor/shim.ts';
import { curesJson, curesText } from '../report/cures.ts';
import type { Outcome } from '../report/outcome.ts';
import { lengthsIn } from '../report/text.ts';
import { type CureName, curesOf } from '../solve/cures.ts';
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

/** One shim as a file and a line about it. */
async function printable(outcome: Outcome, name: 'wedge-shim' | 'flat-shim', path: string): Promise<Printable> {
  const option = name === 'wedge-shim' ? '--wedge' : '--flat';
  if (!path.endsWith('.stl')) throw usage(`a solid is written as .stl, not '${path}'`, `name it like ${name}.stl (${option})`);
  const cure = curesOf(outcome.solution).find((each) => each.name === (name satisfies CureName));
  if (cure === undefined)
    throw new InputProblem([
      {
        code: 'no-such-shim',
        severity: 'error',
        exit: 3,
        message: `no ${name.replace('-', ' ')} brings this job where it should be`,
      },
    ]);
  const { shimOf, stlText } = await import('../floor/shim.ts');
  const shim: Shim = shimOf(outcome.solution.outline, cure.plane);
  const say = lengthsIn(outcome.job.units);
  const ends =
    name === 'wedge-shim'
      ? `${say.short(shim.thinnest)} to ${say.full(shim.thickest)} thick`
      : `${say.full(shim.thickest)} thick`;
  return {
    output: { path, bytes: stlText(shim, `pocketpitch-${name}-${outcome.fingerprint}`), mark: SOLID_MARK },
    said: `Wrote ${path}: ${ends}, ${(shim.volume / 1000).toFixed(2)} cm3, in millimetres; drill the screw holes through it in place`,
  };
}

export async function compareAction(job: string, options: CompareOptions): Promise<Said> {
  const { outcome } = solvedWithShop(job, undefined);
  const made: Printable[] = [];
  if (options.wedge !== undefined) made.push(await printable(outcome, 'wedge-shim', options.wedge));
  if (options.flat !== undefined) made.push(await printable(outcome, 'flat-shim', options.flat));
  if (made.length > 0)
    writeWhole(
      made.map(({ output }) => output),
      options.replace === true,
    );
  const out = options.json === true ? `${JSON.stringify(curesJson(outcome), null, 2)}\n` : curesText(outcome);
  return { out, notes: made.map(({ said }) => said) };
}
