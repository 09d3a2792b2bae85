import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { proveProgram } from '../../src/proof/prove.ts';
import { CASE, type Case, plainProgram, textOf, workOf } from '../unit/proofProgram.ts';

const SEED = 20_260_301;
const SMALL: Case = { ...CASE, length: 30, width: 20, widthAtMouth: 20, cornerRadius: 0, passDepth: 0.15 };

type Rewrite = (lines: readonly string[]) => string[];
const isMove = (line: string): boolean => /^G[01] /.test(line);
const onMoves =
  (change: (line: string, index: number) => string): Rewrite =>
  (lines) =>
    lines.map((line, index) => (isMove(line) ? change(line, index) : line));
const numbers = (change: (digits: string) => string): Rewrite =>
  onMoves((line) =>
    line.replace(/([XYZF])(-?)([0-9.]+)/g, (_all, letter, minus, digits) => `${letter}${minus}${change(digits)}`),
  );
const outsideComments =
  (change: (text: string) => string): Rewrite =>
  (lines) =>
    lines.map((line) =>
      line
        .split(/(\([^)]*\))/)
        .map((part, index) => (index % 2 === 1 ? part : change(part)))
        .join(''),
    );

/** Other ways to write the same moves: the machine does the same, so the proof must say the same. */
const WRITINGS: readonly (readonly [string, Rewrite])[] = [
  ['lower case', (lines) => lines.map((line) => line.toLowerCase())],
  ['tabs for blanks', outsideComments((line) => line.replaceAll(' ', '\t'))],
  ['no blanks', outsideComments((line) => line.replaceAll(' ', ''))],
  ['blanks everywhere', outsideComments((line) => [...line].join(' '))],
  ['tabs everywhere', outsideComments((line) => [...line].join('\t '))],
  ['blanks round the line', (lines) => lines.map((line) => `  ${line}\t `)],
  ['blank lines', (lines) => lines.flatMap((line) => [line, '', ' \t'])],
  ['a comment at the head of every line', (lines) => lines.map((line) => `(as before)${line}`)],
  ['a comment at the end of every line', (lines) => lines.map((line) => `${line} (X9 G2)`)],
  ['comments between words', outsideComments((line) => line.replaceAll(' ', ' (a, b_c-d:e=.1) '))],
  ['empty comments', (lines) => lines.map((line) => `()${line}()`)],
  ['comment lines', (lines) => lines.flatMap((line, i) => [`(step ${i}: G1 X5)`, line])],
  ['G01 and M03', outsideComments((line) => line.replace(/([GM])(\d)(?=\D|$)/g, '$10$2'))],
  ['G1. and M3.0', outsideComments((line) => line.replace(/G(\d+)/g, 'G$1.').replace(/M(\d+)/g, 'M$1.0'))],
  ['.5 for 0.5', numbers((digits) => digits.replace(/^0\.(?=\d)/, '.'))],
  ['trailing zeros', numbers((digits) => (digits.includes('.') ? `${digits}000` : `${digits}.000`))],
  ['no trailing zeros', numbers((digits) => (digits.includes('.') ? digits.replace(/0+$/, '').replace(/^\.$/, '0.') : digits))],
  ['leading zeros', numbers((digits) => `000${digits}`)],
  ['minus nought', onMoves((line) => line.replace(/([XYZ])(0(?:\.0+)?)(?= |$)/g, '$1-$2'))],
  ['M30', (lines) => lines.map((line) => (line === 'M2' ? 'M30' : line))],
  ['all modes on one line', (lines) => [...lines.slice(0, 1), lines.slice(1, 5).join(''), ...lines.slice(5)]],
  ['modes in another order', (lines) => [...lines.slice(0, 1), ...lines.slice(1, 5).reverse(), ...lines.slice(5)]],
  ['modes said twice', (lines) => [...lines.slice(0, 5), ...lines.slice(1, 5), 'G40', 'G54', 'G80', ...lines.slice(5)]],
  ['other words before the G word', onMoves((line) => line.replace(/^(G1 )(.*) (F\S+)$/, '$3 $1$2'))],
  ['words in another order', onMoves((line) => [line.slice(0, 2), ...line.slice(3).split(' ').reverse()].join(' '))],
  ['the speed on its own line', (lines) => lines.flatMap((line) => (line.startsWith('M3 ') ? ['S16000', 'M3'] : [line]))],
  ['the speed before M3', (lines) => lines.map((line) => line.replace('M3 S16000', 'S16000.0 M3'))],
  ['P before G4', (lines) => lines.map((line) => line.replace('G4 P4', 'P4.0G4'))],
];

/** Other moves that leave the same floor. */
const MOVES: readonly (readonly [string, Rewrite])[] = [
  ['slower cuts', onMoves((line) => line.replace(/F1200\.000/, 'F310').replace(/F47\.2440/, 'F12.5'))],
  ['slower plunges', onMoves((line) => line.replace(/F300\.000/, 'F20').replace(/F11\.8110/, 'F.8'))],
  ['a feed on every move', withFeeds],
  ['every coordinate on every line', withAllAxes],
  ['only coordinates that change', withoutRepeats],
  [
    'lifts after lifts',
    (lines) => lines.flatMap((line) => (/^G1 Z(25|1\.)/.test(line) ? [line, line, line.replace('G1', 'G0')] : [line])),
  ],
  [
    'plunges by stages',
    (lines) =>
      lines.flatMap((line) =>
        /^G1 Z-/.test(line) ? [line.replace(/Z\S+/, 'Z0.9'), line.replace(/Z\S+/, 'Z0.1'), line] : [line],
      ),
  ],
  ['the last lanes backwards', (lines) => reorder(lines, (lanes) => lanes.reverse())],
  ['the last lanes from the middle', (lines) => reorder(lines, (lanes) => [...lanes.slice(3), ...lanes.slice(0, 3).reverse()])],
  ['the way along the walls first', (lines) => reorder(lines, (lanes) => [lanes[7] as string[], ...lanes.slice(0, 7)])],
  ['every last lane twice', (lines) => reorder(lines, (lanes) => lanes.flatMap((lane) => [lane, lane]))],
];

function withFeeds(lines: readonly string[]): string[] {
  let feed = '';
  return lines.map((line) => {
    feed = / F\S+/.exec(line)?.[0] ?? feed;
    return line.startsWith('G1 ') && !line.includes('F') ? `${line}${feed}` : line;
  });
}

function withAllAxes(lines: readonly string[]): string[] {
  const at: Record<string, string> = {};
  return lines.map((line) => {
    if (!isMove(line)) return line;
    for (const [word] of line.matchAll(/[XYZ]\S+/g)) at[word.charAt(0)] = word;
    // The very first move is up, alone.
    if (at.X === undefined) return line;
    return [line.slice(0, 2), at.X, at.Y, at.Z, / F\S+/.exec(line)?.[0].trim()].filter((word) => word !== undefined).join(' ');
  });
}

function withoutRepeats(lines: readonly string[]): string[] {
  const at: Record<string, string> = {};
  return lines.flatMap((line) => {
    if (!isMove(line)) return [line];
    const words = [...line.matchAll(/[XYZ]\S+/g)].map(([word]) => word);
    const fresh = words.filter((word) => at[word.charAt(0)] !== word);
    for (const word of words) at[word.charAt(0)] = word;
    if (fresh.length === 0) return [];
    return [[line.slice(0, 2), ...fresh, / F\S+/.exec(line)?.[0].trim()].filter((word) => word !== undefined).join(' ')];
  });
}

/** The lanes of the last level, each from its rapid to its lift, in another order. */
function reorder(lines: readonly string[], change: (lanes: string[][]) => string[][]): string[] {
  const starts = lines.flatMap((line, index) => (line.startsWith('G0 X') ? [index] : [])).slice(-8);
  const end = lines.indexOf('M5');
  const lanes = starts.map((start, i) => lines.slice(start, starts[i + 1] ?? end));
  return [...lines.slice(0, starts[0]), ...change(lanes).flat(), ...lines.slice(end)];
}

describe.each([
  ['mm', SMALL],
  ['inch', { ...SMALL, inch: true }],
])('the same program written in other ways, %s', (_name, given) => {
  const work = workOf(given);
  const lines = plainProgram(given);
  const plain = proveProgram(textOf(lines), work, 'floor');

  it.each(WRITINGS)('%s: the same verdict to the last figure', (_what, rewrite) => {
    const other = rewrite(lines);
    expect(other).not.toEqual(lines);
    const verdict = proveProgram(textOf(other), work, 'floor');
    expect(verdict.faults).toEqual([]);
    expect(verdict.figures).toEqual(plain.figures);
  });

  it.each([
    ['CRLF', (text: string) => text.replaceAll('\n', '\r\n')],
    ['LF and CRLF by turns', (text: string) => text.replace(/(.*\n)(.*)\n/g, '$1$2\r\n')],
    ['no last line end', (text: string) => text.trimEnd()],
    ['blank lines after the end', (text: string) => `${text}\n \n(end)\n`],
  ])('%s', (_what, change) => {
    const verdict = proveProgram(change(textOf(lines)), work, 'floor');
    expect(verdict.faults).toEqual([]);
    expect(verdict.figures).toEqual(plain.figures);
  });

  it.each(MOVES)('%s: proved', (_what, rewrite) => {
    const other = rewrite(lines);
    expect(other).not.toEqual(lines);
    const verdict = proveProgram(textOf(other), work, 'floor');
    expect(verdict.faults).toEqual([]);
    expect(verdict.figures.leftover).toBeLessThanOrEqual((plain.figures.leftover as number) + 1e-9);
  });

  it('any of these on top of any others', () => {
    // What looks for plain lines comes before what makes them another sight.
    const moves = MOVES.map(([, rewrite]) => rewrite);
    const writings = WRITINGS.filter(([name]) => !/order|every(where)?$|before|own line|one line/.test(name)).map(
      ([, rewrite]) => rewrite,
    );
    fc.assert(
      fc.property(fc.subarray(moves, { maxLength: 4 }), fc.shuffledSubarray(writings, { maxLength: 4 }), (first, then) => {
        const other = [...first, ...then].reduce<readonly string[]>((now, rewrite) => rewrite(now), lines);
        if (Math.max(...other.map((line) => line.length)) > 256) return;
        expect(proveProgram(textOf(other), work, 'floor').faults, textOf(other)).toEqual([]);
      }),
      { seed: SEED, numRuns: 60 },
    );
  });
});

describe('other plans for the same floor', () => {
  const work = workOf(SMALL);
  const { plane } = work;
  const R = SMALL.diameter / 2;
  const e = R + 0.15;
  const lean = Math.hypot(plane.gx, plane.gy);
  const near = (v: number): string => (Math.trunc(v * 1000) / 1000).toFixed(3);
  const face = (x: number, raise: number): string =>
    (Math.ceil(1000 * (raise + R * lean - plane.gx * (x - plane.hinge.x)) - 1e-6) / 1000).toFixed(3);
  const half = SMALL.width / 2 - e;
  const rear = SMALL.length - e;
  const head = plainProgram(SMALL).slice(0, 13);
  const levels = [work.deepest / 2, 0];
  const down = (x: number, y: number, raise: number): string[] => [`G0 X${near(x)} Y${near(y)}`, `G1 Z${face(x, raise)} F300`];
  const to = (x: number, y: number, raise: number): string => `G1 X${near(x)} Y${near(y)} Z${face(x, raise)}`;
  const proved = (body: readonly string[]): void => {
    const text = textOf([...head, ...body, 'G1 Z25.400', 'M5', 'M2']);
    expect(proveProgram(text, work, 'floor').faults, text).toEqual([]);
  };

  it('lanes across the pocket, there and back without lifting', () => {
    proved(
      levels.flatMap((raise) => {
        const lines = [...down(-7, 0, raise), `${to(rear, 0, raise)} F1200`];
        let side = 1;
        for (let x = rear; x > -R - 0.5; x -= 0.9) {
          lines.push(to(x, half * side, raise), to(x, -half * side, raise));
          lines.push(to(Math.max(-R - 0.5, x - 0.9), -half * side, raise));
          side = -side;
        }
        return [...lines, 'G1 Z25.400'];
      }),
    );
  });

  it('lanes along the pocket, there and back without lifting', () => {
    proved(
      levels.flatMap((raise) => {
        const lines = [...down(-7, -half, raise), `${to(-7, -half, raise)} F1200`];
        const count = 7;
        for (let i = 0; i <= count; i++) {
          const y = -half + (2 * half * i) / count;
          const ends = i % 2 === 0 ? [-7, rear] : [rear, -7];
          lines.push(to(ends[0] as number, y, raise), to(ends[1] as number, y, raise));
        }
        return [...lines, 'G1 Z25.400'];
      }),
    );
  });

  it('rings from the middle outwards', () => {
    proved(
      levels.flatMap((raise) => {
        const lines = [...down(-7, 0, raise), `${to(rear / 2, 0, raise)} F1200`];
        const rings = 20;
        for (let i = 1; i <= rings; i++) {
          const share = i / rings;
          const y = half * share;
          const [a, b] = [rear / 2 - (rear / 2 + 3.2) * share, rear / 2 + (rear / 2) * share];
          lines.push(to(a, y, raise), to(b, y, raise), to(b, -y, raise), to(a, -y, raise), to(a, y, raise));
        }
        return [...lines, 'G1 Z25.400'];
      }),
    );
  });
});
