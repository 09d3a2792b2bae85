import Toolpath from 'gcode-toolpath';
import type { Fault } from './faults.ts';
import type { Move, Read, Step } from './strictReader.ts';

/** mm. The two readers do the same arithmetic on the same decimals; what differs by more is another number. */
const SAME_WITHIN_MM = 1e-9;

interface Seen {
  readonly motion: string;
  readonly to: { readonly x: number; readonly y: number; readonly z: number };
}

/** Depending on who loads the package (Node, a bundler) its default export is the class or an object that holds it. */
function toolpathClass(): typeof Toolpath {
  return typeof Toolpath === 'function' ? Toolpath : (Toolpath as { readonly default: typeof Toolpath }).default;
}

function same(strict: Move, seen: Seen): boolean {
  const near = (a: number, b: number): boolean => Number.isNaN(a) || Math.abs(a - b) <= SAME_WITHIN_MM;
  const motion = strict.rapid ? 'G0' : 'G1';
  return seen.motion === motion && near(strict.to.x, seen.to.x) && near(strict.to.y, seen.to.y) && near(strict.to.z, seen.to.z);
}

/**
 * Reads a text that the strict reader has taken a second time, with a reader written elsewhere, and compares the moves line by line.
 * Only ever after the strict reader: this one silently takes much that is wrong (libraries.md).
 */
export function compareWithLibrary(read: Read): Fault[] {
  const faults: Fault[] = [];
  const seen: Seen[] = [];
  let arcs = 0;
  const Reader = toolpathClass();
  const reader = new Reader({
    addLine: ({ motion }, _from, to) => {
      seen.push({ motion, to: { ...to } });
    },
    addArcCurve: () => {
      arcs += 1;
    },
  });
  // Steps stand in the order of their lines, and a line has one move at most.
  let next = 0;
  const moveOf = (line: number): Move | undefined => {
    for (; next < read.steps.length; next++) {
      const step = read.steps[next] as Step;
      if (step.line > line) return undefined;
      if (step.line === line && step.kind === 'move') return step;
    }
    return undefined;
  };
  const end = read.steps.find((step) => step.kind === 'finish')?.line ?? read.lines.length;
  for (let line = 1; line <= end; line++) {
    seen.length = 0;
    reader.loadFromStringSync(read.lines[line - 1] ?? '');
    const move = moveOf(line);
    const other = seen[0];
    const agree = move === undefined ? seen.length === 0 : seen.length === 1 && other !== undefined && same(move, other);
    if (!agree || arcs > 0) {
      faults.push({ rule: 'words', line, message: 'two independent readers see different moves here: put the G word first' });
      return faults;
    }
  }
  return faults;
}
