import { type Finding, inputError } from '../kernel/findings.ts';
import { shown } from './leaves.ts';
import { missingKey } from './problems.ts';
import { type Located, type Path, readYaml, valueAt } from './yamlText.ts';

// A family: one job says `like: model.yaml` and then only what differs. The base's text comes from outside, as a drawing's does.

/** A text and the name to say in findings. */
export interface Text {
  readonly text: string;
  readonly file: string;
}

/** Where a base may stand: seen from the job that names it, in its folder or below, so that a folder can be handed on whole. */
export const BASE_NAME = /^(?![A-Za-z]:)(?!(?:.*\/)?\.\.?\/)[^\0\r\n\\/][^\0\r\n\\]*\.(?:ya?ml|json)$/i;

/** A model, its variant and a neck of it are three; more levels than this nobody can follow at a bench. */
export const MOST_BASES = 8;

/**
 * What one instrument alone can say, whatever it is built like: its readings as found and the wood already taken off. Another's would
 * send a cutter to a depth that nobody measured here. `job` and `like` speak of their own file.
 */
const OWN_ONLY = new Set(['job', 'like', 'asFound', 'fits']);

/** A drawn pocket and a measured one are two ways to say the same: whichever the job says takes the place of the base's other. */
const SIZES = ['length', 'width', 'widthAtMouth', 'cornerRadius'];

type Data = Readonly<Record<string, unknown>>;

const isSection = (value: unknown): value is Data => typeof value === 'object' && value !== null && !Array.isArray(value);

const without = (data: Data, dropped: (key: string) => boolean): Data =>
  Object.fromEntries(Object.entries(data).filter(([key]) => !dropped(key)));

/**
 * Whether a text may have a key of that name, which is seen sooner than the text is read: false only where the word stands in comments alone. An
 * escape (\\) may write any letter.
 */
export function mayHaveKey(text: string, key: string): boolean {
  return new RegExp(`^(?!\\s*#).*(?:${key}|\\\\)`, 'm').test(text);
}

/** The base that a job's text names, as written there; undefined where it names none soundly. */
export function baseNamed(text: string): string | undefined {
  if (!mayHaveKey(text, 'like')) return undefined;
  const yaml = readYaml(text, '');
  const named = yaml.ok ? yaml.value.data.like : undefined;
  return typeof named === 'string' && BASE_NAME.test(named) ? named : undefined;
}

/** The base's data as it is handed on: without what is its own, and without the pocket that the job says in another way. */
function handedOn(own: Data, base: Data): Data {
  const kept = without(base, (key) => OWN_ONLY.has(key));
  if (!isSection(own.pocket) || !isSection(kept.pocket)) return kept;
  const { pocket } = own;
  const isDrawn = Object.hasOwn(pocket, 'outline') && pocket.outline !== null;
  const isMeasured = SIZES.some((key) => Object.hasOwn(pocket, key) && pocket[key] !== null);
  const dropped = [...(isDrawn ? SIZES : []), ...(isMeasured && !isDrawn ? ['outline'] : [])];
  return { ...kept, pocket: without(kept.pocket, (key) => dropped.includes(key)) };
}

/** Key by key; a list or a single value is taken whole. A written `null` drops what the base says there, and only that. */
function merged(own: Data, base: Data, isDropped: (path: Path) => boolean, at: Path = []): Data {
  const entries = new Map(Object.entries(base));
  for (const [key, value] of Object.entries(own)) {
    const path = [...at, key];
    const below = entries.get(key);
    if (isDropped(path) && entries.has(key)) entries.delete(key);
    else entries.set(key, isSection(value) && isSection(below) ? merged(value, below, isDropped, path) : value);
  }
  return Object.fromEntries(entries);
}

/** Whether a path is the job's to say: it stands there, or what stands above it there is no section to look into the base from. */
function isOwn(own: Data, base: Data, path: Path): boolean {
  let mine: unknown = own;
  let theirs: unknown = base;
  for (const step of path) {
    if (!isSection(mine)) return true;
    if (!Object.hasOwn(mine, step)) return !(isSection(theirs) && Object.hasOwn(theirs, step));
    mine = mine[step];
    theirs = isSection(theirs) && Object.hasOwn(theirs, step) ? theirs[step] : undefined;
  }
  return true;
}

function joined(own: Located, base: Located): Located {
  const below = handedOn(own.data, base.data);
  const of = (path: Path): Located => (isOwn(own.data, below, path) ? own : base);
  return {
    data: merged(own.data, below, own.isDropped),
    valuePlace: (path) => of(path).valuePlace(path),
    keyPlace: (path) => of(path).keyPlace(path),
    isDropped: own.isDropped,
  };
}

/** What a base must be by itself, whatever it lacks: a job of this format. */
function baseFaults(base: Located): Finding[] {
  const { data } = base;
  if (data.job === 1) return [];
  if (data.job === undefined && data.shop !== undefined)
    return [
      inputError('other-kind-of-file', 'this is a shop file, and a job is like another job only', base.keyPlace(['shop']), {
        found: `shop: ${shown(data.shop)}`,
        expected: 'job: 1',
      }),
    ];
  if (data.job === undefined) return [missingKey('job', base, ['job'])];
  return [
    inputError('unknown-format', 'job: this program reads job files of format 1 only', base.valuePlace(['job']), {
      found: shown(data.job),
      expected: 'job: 1',
    }),
  ];
}

/** Bare numbers are in the unit of the file they stand in, so that a family must have one: each file that says it, as the next that does. */
function unitsFaults(all: readonly Located[]): Finding[] {
  const saying = all.filter(({ data }) => data.units !== undefined);
  return saying.flatMap((own, i): Finding[] => {
    const theirs = saying[i + 1]?.data.units;
    if (theirs === undefined || own.data.units === theirs) return [];
    const message = "a job and the one it is like must be in one unit, or the base's bare numbers would change";
    return [
      inputError('other-units-than-base', message, own.valuePlace(['units']), {
        found: shown(own.data.units),
        expected: shown(theirs),
        remedy: 'leave units out, and write a length in another unit with it, such as "0.9 mm" or "1/16 in"',
      }),
    ];
  });
}

/** Who reads every neck with the saddles raised says so in the model and forgets it in the neck: 1 mm of wood. */
function raisedFault(own: Located, bases: readonly Located[]): Finding[] {
  const said = (located: Located, key: string): unknown => valueAt(located.data, ['asFound', key]);
  const isRaised = bases.some((base) => said(base, 'raised') !== undefined && said(base, 'raised') !== 0);
  const reading = ['lastFretGap', 'firstFretGap', 'straightedge'].find((key) => said(own, key) !== undefined);
  if (!isRaised || reading === undefined || said(own, 'raised') !== undefined) return [];
  const message = "the base's readings were taken with the saddles raised, and this job does not say how its own were";
  return [
    inputError('raised-not-said', message, own.keyPlace(['asFound', reading]), {
      found: `asFound.${reading} without asFound.raised`,
      expected: 'asFound.raised; 0 where the saddles stood at their lowest',
    }),
  ];
}

/** A job's data with what it takes from its bases; places point into the file that says the value. */
export interface Family extends Located {
  /** Paths of the values that a base says, in the order they stand in. */
  readonly inherited: readonly string[];
}

type FamilyRead = { readonly ok: true; readonly value: Family } | { readonly ok: false; readonly findings: readonly Finding[] };

function leavesOf(data: unknown, at: Path = []): Path[] {
  return isSection(data) ? Object.entries(data).flatMap(([key, value]) => leavesOf(value, [...at, key])) : [at];
}

/** Reads a job's text and those of its bases, the nearest first. Every problem of all of them at once. */
export function readFamily(text: string, file: string, bases: readonly Text[]): FamilyRead {
  const [first, ...more] = [{ text, file }, ...bases].map((each) => readYaml(each.text, each.file));
  if (first === undefined) throw new Error('a job came without a text');
  const reads = [first, ...more];
  const unread = reads.flatMap((read) => (read.ok ? [] : read.findings));
  const located = reads.flatMap((read) => (read.ok ? [read.value] : []));
  const own = located[0];
  if (unread.length > 0 || own === undefined) return { ok: false, findings: unread };
  const chain = located.slice(1);
  const faults = [...unitsFaults(located), ...raisedFault(own, chain), ...chain.flatMap(baseFaults)];
  if (faults.length > 0) return { ok: false, findings: faults };
  const [farthest, ...nearer] = chain.reverse();
  if (farthest === undefined) return { ok: true, value: { ...own, inherited: [] } };
  const base = nearer.reduce((far, near) => joined(near, far), farthest);
  const below = handedOn(own.data, base.data);
  const whole = joined(own, base);
  const inherited = leavesOf(whole.data).filter((path) => !isOwn(own.data, below, path));
  return { ok: true, value: { ...whole, inherited: inherited.map((path) => path.join('.')) } };
}
