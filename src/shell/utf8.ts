import { isUtf8 } from 'node:buffer';
import type { Place } from '../kernel/findings.ts';

const REPLACEMENT = '\ufffd';
const REPLACEMENT_BYTES = Buffer.from(REPLACEMENT);

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
  const text = rest.toString('utf8');
  let byte = 0;
  let from = 0;
  for (let at = text.indexOf(REPLACEMENT); at >= 0; at = text.indexOf(REPLACEMENT, from)) {
    byte += Buffer.byteLength(text.slice(from, at));
    // Where the file itself holds the character that stands for what is no character, it is sound.
    if (!rest.subarray(byte).subarray(0, 3).equals(REPLACEMENT_BYTES)) return { file, line, column: at + 1 };
    byte += REPLACEMENT_BYTES.length;
    from = at + 1;
  }
  return { file, line, column: text.length + 1 };
}
