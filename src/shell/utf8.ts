import { isUtf8 } from 'node:buffer';
import type { Place } from '../kernel/findings.ts';

/** Where bytes stop being UTF-8; lines and columns (of characters) from 1. */
export function firstBadPlace(bytes: Buffer, file: string): Place {
  let line = 1;
  let start = 0;
  let end = bytes.indexOf(0x0a);
  while (end >= 0 && isUtf8(bytes.subarray(start, end))) {
    line += 1;
    start = end + 1;
    end = bytes.indexOf(0x0a, start);
  }
  const rest = bytes.subarray(start, end < 0 ? bytes.length : end);
  let sound = 0;
  // A cut inside a character is not UTF-8 either, so the longest sound beginning is looked for, not the first.
  for (let length = 1; length <= rest.length; length++) if (isUtf8(rest.subarray(0, length))) sound = length;
  return { file, line, column: rest.subarray(0, sound).toString('utf8').length + 1 };
}
