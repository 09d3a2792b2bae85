import { shimOf, stlText } from '../../floor/shim.ts';
import type { Outcome } from '../../report/outcome.ts';
import { curesOf } from '../../solve/cures.ts';
import { isFiled } from '../filed.ts';

/** The shims that would do instead of a cut, as `compare --wedge` and `--flat` write them; none once wood is off, since they lie on the floor as found. */
export function shimFiles({ job, solution, fingerprint }: Outcome): { readonly name: string; readonly content: string }[] {
  if (isFiled(job)) return [];
  return curesOf(solution).flatMap(({ name, plane }) =>
    name === 'wedge-shim' || name === 'flat-shim'
      ? [{ name: `${name}.stl`, content: stlText(shimOf(solution.outline, plane), `pocketpitch-${name}-${fingerprint}`) }]
      : [],
  );
}
