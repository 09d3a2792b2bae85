import { CsvError, type InfoField, parse } from 'csv-parse/sync';
import { bad, type Finding, good, inputError, type Place, type Result } from '../kernel/findings.ts';
import { scalar } from './addFit.ts';
import { shown } from './leaves.ts';
import { nearestKey } from './nearest.ts';
import { candidates, type KnownKeys } from './problems.ts';
import { JOB_KEYS } from './readJob.ts';

// A table of measured necks over one job: a column is a job key's path, a row is a neck. Each row becomes a job's text that is `like` the
// base, one key to a line, and each of its lines knows the cell it came from.

/** A row as a job. */
export interface TableRow {
  readonly name: string;
  readonly text: string;
  /** For each line of the text the cell that says it. */
  readonly cells: readonly Place[];
  /** Why this neck cannot have a folder of its own. */
  readonly refused?: Finding | undefined;
}

interface Cell {
  readonly value: string;
  readonly place: Place;
}

/** Rows: a year of a busy shop. */
const MOST_ROWS = 10_000;
const NAME = 'name';
/** Said once for all rows, by the base and by the table itself, or lists, which no cell holds. */
const NO_COLUMN = /^(?:job|like|units|fits|pocket\.screws|pocket\.outline)(?:\.|$)/;
/** Free text: digits alone are a title too. */
const TEXT_KEYS = new Set(['title', 'hand', 'target.floor']);

/** Every cell with the line and column (from 1) that it begins at. */
function cellsOf(text: string, file: string, delimiter: string): Cell[][] {
  const bytes = new TextEncoder().encode(text);
  const length = (value: string): number => new TextEncoder().encode(value).length;
  const cast = (value: string, { lines, bytes: end, quoting }: InfoField): Cell => {
    // The reader tells where a cell ends; as it stands in the file it is quoted, with its quotes doubled, or plain.
    const start = end - (quoting ? length(value.replaceAll('"', '""')) + 2 : length(value));
    let lineStart = start;
    while (lineStart > 0 && bytes[lineStart - 1] !== 0x0a && bytes[lineStart - 1] !== 0x0d) lineStart -= 1;
    const column = new TextDecoder().decode(bytes.subarray(lineStart, start)).length + 1;
    return { value: value.trim(), place: { file, line: lines - value.split(/\r\n|\r|\n/).length + 1, column } };
  };
  return parse(text, { cast, delimiter, relax_column_count: true, skip_empty_lines: true }) as unknown as Cell[][];
}

/** What a spreadsheet put between cells: a semicolon or a tab where the decimal sign is a comma. */
function delimiterOf(text: string): string {
  const head = text.split(/[\r\n]/, 1)[0] ?? '';
  return [',', ';', '\t'].reduce((best, each) => (head.split(each).length > head.split(best).length ? each : best));
}

const QUOTES: Readonly<Record<string, string>> = {
  CSV_QUOTE_NOT_CLOSED: 'a quote is opened and never closed',
  INVALID_OPENING_QUOTE: 'a quote stands inside a cell that does not begin with one',
  CSV_INVALID_CLOSING_QUOTE: 'something stands between a closing quote and the end of its cell',
};

function unreadable(fault: CsvError, file: string): Finding {
  const line = typeof fault.lines === 'number' ? fault.lines : 1;
  const found = typeof fault.column === 'number' ? `cell ${fault.column + 1}` : fault.code;
  return inputError(
    'table-syntax',
    QUOTES[fault.code] ?? 'this is no table',
    { file, line, column: 1 },
    {
      found,
      expected: 'cells between commas; a cell with a quote in it is quoted and its quotes doubled',
    },
  );
}

function isKnown(path: string): boolean {
  let tree: KnownKeys | undefined = JOB_KEYS;
  for (const step of path.split('.')) tree = tree !== undefined && Object.hasOwn(tree, step) ? tree[step] : undefined;
  return tree !== undefined && !NO_COLUMN.test(path);
}

function headFaults(head: readonly Cell[], file: string): Finding[] {
  const out: Finding[] = [];
  const names = head.map(({ value }) => value);
  if (!names.includes(NAME))
    out.push(
      inputError(
        'no-name-column',
        'no column names the necks',
        { file, line: 1, column: 1 },
        {
          found: shown(names.join(', ')),
          expected: `a column '${NAME}': the folder of each neck's results`,
        },
      ),
    );
  head.forEach(({ value, place }, i) => {
    if (names.indexOf(value) < i)
      out.push(
        inputError('column-twice', `the column '${value}' is there twice`, place, {
          found: shown(value),
          expected: 'each column once',
        }),
      );
    else if (value !== NAME && !isKnown(value)) {
      const near = nearestKey(value.split('.').pop() ?? '', [], candidates(JOB_KEYS));
      const guess = near === undefined ? '' : [...near.candidate.parent, near.candidate.key].join('.');
      const expected =
        guess !== '' && isKnown(guess) ? `perhaps '${guess}'` : 'a key of the job with one value, such as neck.seatToCrown';
      out.push(
        inputError('unknown-column', `'${value}' is no key that a neck can say in a table`, place, {
          found: shown(value),
          expected,
        }),
      );
    }
    const above = names.find((name) => value.startsWith(`${name}.`));
    if (above !== undefined)
      out.push(
        inputError('columns-overlap', `'${above}' and '${value}' say the same`, place, {
          found: shown(value),
          expected: 'one or the other',
        }),
      );
  });
  return out;
}

/** A folder's name on every system. */
const BAD_NAME = /[\\/:*?"<>|\p{Cc}]|^[. ]|[. ]$|^(?:con|prn|aux|nul|com\d|lpt\d)(?:\.|$)/iu;
const LONGEST_NAME = 100;
/** Names that are the same folder on some disk. */
export const folderKey = (name: string): string => name.normalize('NFC').toLowerCase();

/** For each row what is wrong with its name, as the name of a folder of its own; undefined where nothing is. */
function nameFaults(names: readonly Cell[]): (Finding | undefined)[] {
  const sharing = new Map<string, Cell[]>();
  for (const cell of names) {
    const key = folderKey(cell.value);
    sharing.set(key, [...(sharing.get(key) ?? []).slice(0, 1), cell]);
  }
  return names.map((cell): Finding | undefined => {
    const { value, place } = cell;
    if (value === '' || value.length > LONGEST_NAME || BAD_NAME.test(value))
      return inputError('name-unusable', 'this is no name for a folder', place, {
        found: shown(value),
        expected: `1 to ${LONGEST_NAME} letters, digits, - or _`,
      });
    const twin = sharing.get(folderKey(value))?.find((other) => other !== cell);
    if (twin === undefined) return undefined;
    return inputError('same-subfolder', `two necks would write into '${value}', so neither is made`, place, {
      found: shown(value),
      expected: `another name than in line ${twin.place.line}`,
    });
  });
}

interface Tree {
  readonly [key: string]: Tree | Cell;
}
const isCell = (node: Tree | Cell): node is Cell => typeof node.value === 'string';

function firstPlace(node: Tree | Cell): Place {
  if (isCell(node)) return node.place;
  return firstPlace(Object.values(node)[0] as Tree | Cell);
}

/** A row's job: one key to a line. Empty cells say nothing, so the base does. */
function rowText(name: Cell, filled: readonly (readonly [string, Cell])[], base: string): TableRow {
  const lines: string[] = [];
  const cells: Place[] = [];
  const say = (line: string, place: Place): void => {
    lines.push(line);
    cells.push(place);
  };
  const tree: Record<string, unknown> = {};
  for (const [path, cell] of filled) {
    let at = tree;
    const steps = path.split('.');
    for (const step of steps.slice(0, -1)) {
      at[step] ??= {};
      at = at[step] as Record<string, unknown>;
    }
    at[steps[steps.length - 1] as string] = cell;
  }
  const write = (node: Tree, indent: string, above: string): void => {
    for (const [key, below] of Object.entries(node)) {
      const path = `${above}${key}`;
      if (!isCell(below)) {
        say(`${indent}${key}:`, firstPlace(below));
        write(below, `${indent}  `, `${path}.`);
      } else if (below.value === 'null') say(`${indent}${key}: null`, below.place);
      else say(`${indent}${key}: ${TEXT_KEYS.has(path) ? JSON.stringify(below.value) : scalar(below.value)}`, below.place);
    }
  };
  say('job: 1', name.place);
  say(`like: ${JSON.stringify(base)}`, name.place);
  if (!filled.some(([path]) => path === 'title')) say(`title: ${JSON.stringify(name.value)}`, name.place);
  write(tree as Tree, '', '');
  return { name: name.value, text: `${lines.join('\n')}\n`, cells };
}

/**
 * Reads a table of necks: `base` is the job that each row is like, as a row's own `like` names it. Refused as a whole where its head or its
 * form is wrong; a wrong name is its own row's fault, and so is a wrong value, which is found when that job is read.
 */
export function readTable(text: string, file: string, base: string): Result<readonly TableRow[]> {
  let rows: Cell[][];
  try {
    rows = cellsOf(text, file, delimiterOf(text));
  } catch (fault) {
    if (!(fault instanceof CsvError)) throw fault;
    return bad([unreadable(fault, file)]);
  }
  const [head, ...all] = rows;
  const body = all.filter((row) => row.some(({ value }) => value !== ''));
  const start: Place = { file, line: 1, column: 1 };
  if (head === undefined || body.length === 0)
    return bad([
      inputError('empty-table', 'the table holds no neck', start, {
        found: 'nothing',
        expected: 'a line of keys and a line for each neck',
      }),
    ]);
  if (body.length > MOST_ROWS)
    return bad([
      inputError('table-too-long', 'the table is too long', start, {
        found: `${body.length} rows`,
        expected: `at most ${MOST_ROWS}`,
      }),
    ]);
  const counts = body.flatMap((row): Finding[] => {
    if (row.length === head.length) return [];
    const { place } = (row[head.length] ?? row[0]) as Cell;
    return [
      inputError('row-length', 'the row has more or fewer cells than the head', place, {
        found: `${row.length} cells`,
        expected: `${head.length}`,
      }),
    ];
  });
  const faults = [...headFaults(head, file), ...counts];
  const at = head.findIndex(({ value }) => value === NAME);
  if (faults.length > 0 || at < 0) return bad(faults);
  const names = body.map((row) => row[at] as Cell);
  const wrong = nameFaults(names);
  return good(
    body.map((row, index) => {
      const filled = head.flatMap(({ value: path }, i) => {
        const cell = row[i];
        return i === at || cell === undefined || cell.value === '' ? [] : [[path, cell] as const];
      });
      return { ...rowText(row[at] as Cell, filled, base), refused: wrong[index] };
    }),
  );
}
