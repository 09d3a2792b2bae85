/** One word of a line: a capital letter and its number. */
export interface Word {
  readonly letter: string;
  readonly value: number;
}

export type LineRead = { readonly ok: true; readonly words: readonly Word[] } | { readonly ok: false; readonly message: string };

/** NISTIR 6556, 3.2 (read): no line is longer than 256 characters. */
const LONGEST_LINE = 256;
/** A few controllers act on `! ? ~ % $` even inside a comment, so a comment has letters, digits and these alone (program.md). */
const COMMENT = /^[A-Za-z0-9 .,\-_:=\t]*$/;
/** A number: digits with at most one point, a minus before it at most; no plus, no exponent. */
const WORDS = /([A-Z])(-?(?:\d+\.?\d*|\.\d+))/y;

function refuse(message: string): LineRead {
  return { ok: false, message };
}

function shown(code: number): string {
  return code > 0x20 && code < 0x7f ? `'${String.fromCharCode(code)}'` : `the character with code ${code}`;
}

/** Why the text at this place is no word, in terms of what stands there. */
function complaint(rest: string): string {
  const first = rest.charAt(0);
  if (/[A-Z]/.test(first)) {
    if (first === 'N') return 'line numbers (N) are not in the dialect';
    if (rest.charAt(1) === '+') return `the number after ${first} has a plus sign`;
    return `the number after ${first} cannot be read`;
  }
  if (first === '%') return "'%' is not in the dialect";
  if (first === '/') return "block delete '/' is not in the dialect: whether the line counts would depend on a switch";
  if (first === ';') return "';' is not in the dialect: some controllers read what follows, others do not";
  if (first === '#') return "parameters ('#') are not in the dialect";
  if (first === '[') return "expressions ('[') are not in the dialect";
  return `${shown(first.charCodeAt(0))} begins no word`;
}

/**
 * Plain words one after another, at most one blank between them: what nearly every line of a program is. There is one way only to take
 * a line apart, or a long line that fits nowhere would be tried in all of them.
 */
const PLAIN = /^(?:[A-MO-Z]-?(?:\d+(?:\.\d*)?|\.\d+) ?)+$/;

/** The same words as the long way gives, for plain lines alone: long programs are read in a third of the time. */
function plainWords(text: string): Word[] {
  const words: Word[] = [];
  let start = 0;
  for (let i = 1; i <= text.length; i++) {
    // Letters are the only characters of a plain line above '9'.
    if (i < text.length && text.charCodeAt(i) <= 0x39) continue;
    words.push({ letter: text.charAt(start), value: Number(text.slice(start + 1, i)) || 0 });
    start = i;
  }
  return words;
}

/**
 * The words of one line (without its line end), or why it is refused. Blanks and tabs mean nothing outside comments
 * (NISTIR 6556, 3.3.1: read); a comment parts words but may not stand inside one.
 */
export function readLine(text: string): LineRead {
  if (text.length > LONGEST_LINE) return refuse(`the line has ${text.length} characters; at most ${LONGEST_LINE} are taken`);
  if (PLAIN.test(text)) return { ok: true, words: plainWords(text) };
  for (let i = 0; i < text.length; i++) {
    const code = text.charCodeAt(i);
    if ((code < 0x20 && code !== 0x09) || code > 0x7e) return refuse(`${shown(code)} is outside printable ASCII`);
  }
  const stretches: string[] = [];
  let at = 0;
  while (at <= text.length) {
    const open = text.indexOf('(', at);
    const stretch = open < 0 ? text.slice(at) : text.slice(at, open);
    if (stretch.includes(')')) return refuse("')' closes no comment");
    stretches.push(stretch);
    if (open < 0) break;
    const close = text.indexOf(')', open);
    if (close < 0) return refuse('the comment is not closed');
    const comment = text.slice(open + 1, close);
    if (comment.includes('(')) return refuse('a comment stands inside a comment');
    if (!COMMENT.test(comment)) return refuse('a comment may hold letters, digits, blanks and . , - _ : = only');
    at = close + 1;
  }
  const words: Word[] = [];
  for (const stretch of stretches) {
    const tight = stretch.replace(/[ \t]+/g, '').toUpperCase();
    let place = 0;
    while (place < tight.length) {
      WORDS.lastIndex = place;
      const match = WORDS.exec(tight);
      const letter = match?.[1];
      if (match === null || letter === undefined || letter === 'N') return refuse(complaint(tight.slice(place)));
      place = WORDS.lastIndex;
      // A digit or point left over here belongs to a number such as 1.2.3.
      if (place < tight.length && !/[A-Z]/.test(tight.charAt(place))) {
        const next = tight.charAt(place);
        return refuse(/[0-9.+-]/.test(next) ? `the number after ${letter} cannot be read` : complaint(tight.slice(place)));
      }
      const value = Number(match[2]);
      words.push({ letter, value: value === 0 ? 0 : value });
    }
  }
  return { ok: true, words };
}
