import { dirname, join, relative } from 'node:path';
import { baseNamed, MOST_BASES } from '../job/family.ts';
import { readYaml } from '../job/yamlText.ts';
import type { Finding } from '../kernel/findings.ts';
import { readText, realPathOf } from './files.ts';
import { InputProblem } from './problem.ts';

/** A text, where it was read and the name it has in findings. */
interface FamilyText {
  readonly path: string;
  readonly file: string;
  readonly text: string;
}

/** A finding at the `like` of a text. */
function atLike(at: FamilyText, code: string, message: string, found: string, expected: string): InputProblem {
  const yaml = readYaml(at.text, at.file);
  const finding: Finding = { code, severity: 'error', exit: 2, message, found, expected };
  return new InputProblem([yaml.ok ? { ...finding, place: yaml.value.valuePlace(['like']) } : finding]);
}

const isInside = (folder: string, path: string): boolean => {
  const way = relative(folder, path);
  return way !== '' && !/^\.\.(?:[\\/]|$)/.test(way) && way !== path;
};

/**
 * The jobs that a job is like, the nearest first, each read from the folder of the one that names it. Refused with the place of that
 * name: a base that is not there, one that links lead to outside of the job's own folder, and a family that comes back to itself.
 */
export function basesOf(job: FamilyText): FamilyText[] {
  const root = realPathOf(dirname(job.path));
  const seen = [realPathOf(job.path)];
  const chain: FamilyText[] = [];
  let at = job;
  for (;;) {
    const name = baseNamed(at.text);
    if (name === undefined) return chain;
    const path = join(dirname(at.path), name);
    const file = join(dirname(at.file), name);
    const real = realPathOf(path);
    if (real === undefined || root === undefined)
      throw atLike(
        at,
        'like-not-there',
        `'${file}' cannot be read: there is no such file or folder`,
        name,
        "a job file's place in this file's own folder or below it",
      );
    if (!isInside(root, real))
      throw atLike(
        at,
        'like-outside',
        `'${file}' leads out of the job's own folder`,
        name,
        'a file in that folder or below it, not a link out of it',
      );
    if (seen.includes(real)) {
      const way = [job, ...chain].map((each) => each.file);
      throw atLike(
        at,
        'like-circle',
        'these jobs are like each other in a circle',
        [...way, file].join(' -> '),
        'a base that says it all by itself in the end',
      );
    }
    if (chain.length === MOST_BASES)
      throw atLike(
        at,
        'like-too-far',
        'too many jobs are like one another',
        `more than ${MOST_BASES}`,
        `at most ${MOST_BASES} in a row`,
      );
    seen.push(real);
    at = { path, file, text: readText(path) };
    chain.push(at);
  }
}
