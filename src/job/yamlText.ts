import {
  Composer,
  type CST,
  type Document,
  isAlias,
  isMap,
  isNode,
  isScalar,
  isSeq,
  Lexer,
  LineCounter,
  type Node,
  type ParsedNode,
  Parser,
  visit,
  YAMLParseError,
} from 'yaml';
import { type Finding, type Place, toldOf } from '../kernel/findings.ts';
import { DEEPEST_YAML, MOST_YAML_CHARACTERS, MOST_YAML_PARTS } from '../kernel/tolerances.ts';

export type Path = readonly (string | number)[];

/** A file's content as plain data, and where each part of it stands. */
export interface Located {
  readonly data: Readonly<Record<string, unknown>>;
  /** Where the value at a path stands (its key, where the value is empty or absent). */
  readonly valuePlace: (path: Path) => Place;
  /** Where the key at a path stands; the item itself in a list; 1:1 for the whole file. */
  readonly keyPlace: (path: Path) => Place;
  /** Whether `null` is written at a path; a key that merely has no value is a slip. */
  readonly isDropped: (path: Path) => boolean;
}

type LocatedRead = { readonly ok: true; readonly value: Located } | { readonly ok: false; readonly findings: readonly Finding[] };

const SYNTAX: Readonly<Record<string, string>> = {
  TAB_AS_INDENT: 'a tab is used to indent: YAML takes spaces only',
  MULTIPLE_DOCS: 'the file holds more than one document',
  BAD_INDENT: 'the indentation does not fit what stands above',
  MISSING_CHAR: 'a character is missing, such as a closing quote, bracket or brace',
  BLOCK_AS_IMPLICIT_KEY: 'a key stands where a value already is: is the indentation right?',
};

function syntaxText({ code, message }: { readonly code: string; readonly message: string }): string {
  // The library says an opened list that never ends as an indentation.
  if (/^Flow (sequence|map)/.test(message)) return 'a [ or { is opened and not closed again';
  return SYNTAX[code] ?? shortened(message);
}

/** The value at a path: own keys of mappings and items of lists only, so that a list has no `length` here. */
export function valueAt(data: unknown, path: Path): unknown {
  return path.reduce<unknown>((node, step) => {
    if (typeof node !== 'object' || node === null || Array.isArray(node) !== (typeof step === 'number')) return undefined;
    return Object.hasOwn(node, step) ? (node as Readonly<Record<string | number, unknown>>)[step] : undefined;
  }, data);
}

/** Walks to a path; `key` is the node of the last key, `value` that of its value. */
function walk(root: unknown, path: Path): { key: Node | undefined; value: Node | undefined } {
  let key: Node | undefined;
  let value: unknown = root;
  for (const step of path) {
    if (isMap(value)) {
      const pair = value.items.find((item) => String(isScalar(item.key) ? item.key.value : item.key) === String(step));
      key = isNode(pair?.key) ? pair.key : undefined;
      value = pair?.value;
    } else if (isSeq(value) && typeof step === 'number') {
      value = value.items[step];
      key = isNode(value) ? value : undefined;
    } else return { key: undefined, value: undefined };
  }
  return { key, value: isNode(value) ? value : undefined };
}

/** The reader's own words without the text that it repeats after them, which may be as long as the file. */
function shortened(message: string): string {
  const words = message.split(/: ["'\u0060]?/)[0] ?? message;
  return words.slice(0, 100);
}

const COLLECTIONS = new Set(['block-map', 'block-seq', 'flow-collection']);

type Beyond = { readonly offset: number; readonly what: 'depth' | 'parts' };

/**
 * A text's parts, or where it is nested too deeply or has too many of them, found without calling itself for each level: what is made of the
 * parts does, and may bring the whole process down (not only to an exception) where too little of the stack is left.
 */
function partsOf(text: string, counter: LineCounter): { readonly tokens: readonly CST.Token[] } | Beyond {
  const parser = new Parser(counter.addNewLine);
  counter.addNewLine(0);
  const tokens: CST.Token[] = [];
  let parts = 0;
  for (const part of new Lexer().lex(text)) {
    for (const token of parser.next(part)) tokens.push(token);
    parts += 1;
    if (parts > MOST_YAML_PARTS) return { offset: parser.offset, what: 'parts' };
    const { stack } = parser;
    if (stack.length > DEEPEST_YAML && stack.filter(({ type }) => COLLECTIONS.has(type)).length > DEEPEST_YAML)
      return { offset: parser.offset, what: 'depth' };
  }
  for (const token of parser.end()) tokens.push(token);
  return { tokens };
}

function linesOf(text: string): LineCounter {
  const counter = new LineCounter();
  counter.addNewLine(0);
  for (let end = text.indexOf('\n'); end >= 0; end = text.indexOf('\n', end + 1)) counter.addNewLine(end + 1);
  return counter;
}

/** The first document of a text's parts, as the library's own `parseDocument` makes it, which would take the text apart once more. */
function documentOf(tokens: readonly CST.Token[], length: number): Document.Parsed<ParsedNode> {
  const [first, second] = new Composer({ prettyErrors: false, version: '1.2' }).compose(tokens, true, length);
  if (first === undefined) throw new Error('a text came back without a document');
  if (second !== undefined) first.errors.push(new YAMLParseError([second.range[0], second.range[1]], 'MULTIPLE_DOCS', ''));
  return first as Document.Parsed<ParsedNode>;
}

/** Characters. More is no length, and no finding shows more. */
const LONGEST_FOUND = 60;

/**
 * Numbers with a decimal comma between braces, where YAML ends the value at the comma and takes the digits behind it for a key without a
 * value: `{bass: 0,048}`. Said as what it is, since the value before the comma alone would be judged as another length.
 */
function decimalCommas(doc: Document.Parsed): { readonly offset: number; readonly found: string; readonly meant: string }[] {
  const commas: { offset: number; found: string; meant: string }[] = [];
  visit(doc, {
    Map: (_, map) => {
      if (map.flow !== true) return;
      const bareKeys = map.items.map(({ key, value }) =>
        isScalar(key) && (value === null || (isScalar(value) && value.value === null && !value.source)) ? `${key.source}` : '',
      );
      map.items.forEach(({ value }, index) => {
        if (!isScalar(value) || !/(^|[^\d.])\d+$/.test(value.source ?? '')) return;
        // `0,055 ± 0,002` is torn in three, and no length in more.
        const isTorn = (text = ''): boolean => /^\d+\s*(mm|in|"|\u00b1|\+\/-|$)/.test(text);
        const [second, third] = bareKeys.slice(index + 1, index + 3);
        if (!isTorn(second)) return;
        const found = [value.source, second, ...(isTorn(third) ? [third] : [])].join(',');
        if (found.length > LONGEST_FOUND) return;
        commas.push({ offset: value.range?.[0] ?? 0, found, meant: found.replaceAll(',', '.') });
      });
    },
  });
  return commas;
}

/** Reads a YAML 1.2 text to plain data with places. Never throws; gives every syntax problem at once. */
export function readYaml(text: string, file: string): LocatedRead {
  const problem = (code: string, message: string, place: Place, expected?: string, found?: string): Finding => ({
    code,
    severity: 'error',
    exit: 2,
    message,
    place,
    found,
    expected,
  });
  const start: Place = { file, line: 1, column: 1 };
  if (text.length > MOST_YAML_CHARACTERS)
    return {
      ok: false,
      findings: [
        problem(
          'too-large',
          'the file is far longer than any job',
          start,
          `at most ${MOST_YAML_CHARACTERS} characters`,
          `${text.length}`,
        ),
      ],
    };
  /** The rest of the line, as the finding shows it. */
  const foundAt = (offset: number): string => {
    const rest = text.slice(offset, offset + 41).split(/[\r\n]/)[0] ?? '';
    if (rest === '') return offset >= text.length ? 'the end of the file' : 'the end of the line';
    return JSON.stringify(rest.length > 40 ? `${rest.slice(0, 37)}...` : rest);
  };
  const counter = new LineCounter();
  const read = partsOf(text, counter);
  /** Where a text goes on too long its lines were not all counted. */
  const lines = 'tokens' in read ? counter : linesOf(text);
  const at = (offset: number): Place => {
    const { line, col } = lines.linePos(offset);
    return { file, line: Math.max(1, line), column: Math.max(1, col) };
  };
  if (!('tokens' in read)) {
    const code = read.what === 'depth' ? 'yaml-syntax' : 'too-large';
    const message = read.what === 'depth' ? 'the file is nested too deeply' : 'the file has far more parts than any job';
    const expected = read.what === 'depth' ? `at most ${DEEPEST_YAML} levels` : `at most ${MOST_YAML_PARTS} words and signs`;
    return { ok: false, findings: [problem(code, message, at(read.offset), expected, foundAt(read.offset))] };
  }
  const doc = documentOf(read.tokens, text.length);
  // Some texts make the reader say the same over and over: the first at each place counts.
  const seen = new Set<number>();
  const faults = [...doc.errors, ...doc.warnings].filter(({ pos: [offset] }) => !seen.has(offset) && seen.add(offset));
  const findings: Finding[] = faults.map((fault) =>
    fault.code === 'DUPLICATE_KEY'
      ? problem('duplicate-key', 'the key is given twice', at(fault.pos[0]), 'each key once', foundAt(fault.pos[0]))
      : fault.code === 'TAG_RESOLVE_FAILED'
        ? problem('yaml-tag', 'a tag (!) is not read here', at(fault.pos[0]), 'plain values', foundAt(fault.pos[0]))
        : problem('yaml-syntax', syntaxText(fault), at(fault.pos[0]), 'YAML 1.2', foundAt(fault.pos[0])),
  );
  // A %YAML 1.1 line would turn words and digits into other values (no into false, 010 into 8).
  if (doc.directives?.yaml.explicit === true && doc.directives.yaml.version !== '1.2')
    findings.push(
      problem('yaml-version', 'another version of YAML is asked for', start, 'YAML 1.2', doc.directives.yaml.version),
    );
  visit(doc, (_, node) => {
    // A list of aliases of aliases can stand for more data than any memory holds; no job needs one.
    if (isAlias(node))
      findings.push(
        problem('yaml-alias', 'an alias (*) is not read here', at(node.range?.[0] ?? 0), 'the value itself', `*${node.source}`),
      );
  });
  visit(doc, {
    Pair: (_, pair) => {
      if (isNode(pair.key) && !isScalar(pair.key) && !isAlias(pair.key))
        findings.push(problem('key-not-a-word', 'a key is not a word', at(pair.key.range?.[0] ?? 0), 'a word', 'a list or keys'));
    },
  });
  for (const { offset, found, meant } of decimalCommas(doc))
    findings.push(problem('not-a-length', 'a decimal comma is not read, write a point', at(offset), meant, found));
  if (findings.length > 0) return { ok: false, findings: toldOf(findings) };
  const root = doc.contents;
  if (root === null || (isScalar(root) && root.value === null))
    return { ok: false, findings: [problem('empty-file', 'the file holds nothing', start, 'keys and values', 'nothing')] };
  if (!isMap(root))
    return {
      ok: false,
      findings: [
        problem(
          'not-a-mapping',
          'the file is not a list of keys and values',
          at(root.range?.[0] ?? 0),
          'key: value',
          isSeq(root) ? 'a list' : 'a text',
        ),
      ],
    };
  const data = doc.toJS({ maxAliasCount: 0 }) as Readonly<Record<string, unknown>>;
  const placeOf = (node: Node | undefined): Place | undefined => (node?.range ? at(node.range[0]) : undefined);
  const keyPlace = (path: Path): Place => placeOf(walk(root, path).key) ?? start;
  const valuePlace = (path: Path): Place => {
    const { key, value } = walk(root, path);
    const empty = value === undefined || (isScalar(value) && value.value === null);
    return (empty ? placeOf(key) : placeOf(value)) ?? start;
  };
  const isDropped = (path: Path): boolean => {
    const { value } = walk(root, path);
    return isScalar(value) && value.value === null && value.source !== undefined && value.source !== '';
  };
  return { ok: true, value: { data, keyPlace, valuePlace, isDropped } };
}
