import { guideOf } from '../../guideJob.ts';
import { withValue } from '../../job/editYaml.ts';
import { drawingNamed } from '../../job/readJob.ts';
import { readShop } from '../../job/readShop.ts';
import type { Finding, Result } from '../../kernel/findings.ts';
import { byId } from '../../preview/client/dom.ts';
import type { Outcome } from '../../report/outcome.ts';
import { type Named, solveText } from '../../solveJob.ts';
import { tallyText } from '../answer.ts';
import { JOB_GROUPS, SHOP_GROUPS } from '../fields.ts';
import { placedFindings, spokenText } from '../findings.ts';
import { onPage } from '../said.ts';
import type { Starter } from '../sheets.ts';
import { type Figures, figuresOf, inItsUnit, starterOf, startersOwn, unitOf } from '../starter.ts';
import type { Words } from '../words.ts';
import { makeDesk } from './desk.ts';
import { makeFitting } from './fit.ts';
import { makeFolds } from './folds.ts';
import { type Form, makeForm } from './form.ts';
import { type Bench, Keep } from './keep.ts';
import { makeMaking } from './make.ts';
import { makeSee } from './see.ts';
import { makeTally } from './tally.ts';
import { showFindings } from './textBox.ts';

/** What an empty sheet begins with: in millimetres until it is said otherwise. */
const EMPTY_JOB = '# Measured with the pocketpitch bench page. Read SAFETY.md before you cut.\njob: 1\nunits: mm\nhand: right\n';

/** ms without a change after which everything is worked out: shorter than anybody looks away from the keys. */
const REST_MS = 160;

interface Rest {
  readonly again: () => void;
  readonly now: () => void;
  readonly waits: () => boolean;
}

function restOf(ms: number, work: () => void): Rest {
  const timer: { id: ReturnType<typeof setTimeout> | undefined } = { id: undefined };
  const run = (): void => {
    timer.id = undefined;
    work();
  };
  return {
    again: () => {
      clearTimeout(timer.id);
      timer.id = setTimeout(run, ms);
    },
    /** What is still waiting is done at once. */
    now: () => {
      if (timer.id === undefined) return;
      clearTimeout(timer.id);
      run();
    },
    waits: () => timer.id !== undefined,
  };
}

const NONE: ReadonlySet<string> = new Set();

function readJson<T>(id: string): T {
  return JSON.parse(byId(id, HTMLScriptElement).textContent ?? '') as T;
}

/** The page at work: one job, one shop file, and everything that follows from them whenever either changes. */
export function startBench(words: Words): void {
  const starters = readJson<Starter[]>('starters');
  const keep = new Keep();
  const empty: Bench = { job: { name: 'my-job.yaml', text: EMPTY_JOB }, shop: null, drawing: null };
  const state = { bench: keep.takeUp() ?? empty, waits: false, reads: false };
  const jobNow = (): Named => {
    const { job, drawing } = state.bench;
    const named =
      drawing === null || drawingNamed(job.text) === undefined ? undefined : { text: drawing.text, file: drawing.name };
    return { text: job.text, file: job.name, drawing: named };
  };
  const shopNow = (): Named | undefined => {
    const { shop } = state.bench;
    return shop === null ? undefined : { text: shop.text, file: shop.name };
  };
  const see = makeSee(words);
  const making = makeMaking(words, () => ({ job: jobNow(), shop: shopNow() }));
  const fitting = makeFitting(words, jobNow, (text) => setJob(text, true));
  const tally = makeTally(words);

  const figures = new Map<string, Figures>();
  /** The figures of the starter that a text began with. */
  const figuresFor = (form: Form, text: string): Figures | undefined => {
    const from = starters.find(({ name }) => name === starterOf(text));
    if (from === undefined) return undefined;
    const known = figures.get(from.name) ?? figuresOf(from.text, form.fields);
    figures.set(from.name, known);
    return known;
  };
  const ownIn = (form: Form, text: string): ReadonlySet<string> => {
    const known = figuresFor(form, text);
    return known === undefined ? NONE : startersOwn(text, known);
  };
  /** Figures of the job that are still its starter's. */
  const inventedNow = (): ReadonlySet<string> => ownIn(jobForm, state.bench.job.text);
  const reunited = (form: Form, text: string): string => {
    const known = figuresFor(form, text);
    return known === undefined ? text : inItsUnit(text, known, form.fields);
  };
  const showForm = (form: Form, doc: 'job' | 'shop', text: string, findings: readonly Finding[]) => {
    const placed = placedFindings(text, findings, form.fields);
    form.show(placed, ownIn(form, text));
    showFindings(doc, findings);
    return placed;
  };

  /** The guide's map gives the depths that the floor's drawing carries. */
  const mapOf = (outcome: Outcome, shop: ReturnType<typeof readShop> | undefined) => {
    const guide = guideOf(outcome, shop?.ok ? shop.value : undefined, 'map');
    return guide.ok ? guide.value[0] : undefined;
  };

  const say = (outcome: Result<Outcome>, answer: string | undefined): void => {
    const { job, shop } = state.bench;
    const placed = showForm(jobForm, 'job', job.text, outcome.ok ? outcome.value.warnings : outcome.findings);
    const refusals = outcome.ok ? [] : outcome.findings.filter(({ exit }) => exit !== 2);
    jobForm.setUnit(unitOf(job.text));
    if (shop !== null) shopForm.setUnit(unitOf(shop.text));
    if (!outcome.ok) see.wait(refusals.map((each) => onPage(spokenText(each), words)));
    const invented = inventedNow().size;
    const more = invented > 0 ? words.see.inventedShort(invented) : '';
    tally.show(placed, jobForm.fields, answer === undefined ? undefined : answer + more, refusals.length);
  };
  /** While somebody types: what is wrong, and the drawings. */
  const live = (): void => {
    // Everything may have been worked out in between.
    if (!state.waits) return;
    state.waits = false;
    const quick = solveText(jobNow(), undefined, 'value-only');
    if (quick.ok) see.draft(quick.value);
    say(quick, quick.ok ? tallyText(quick.value, words, false) : undefined);
  };
  /** After a short rest: how sure it is, the words, and what is made from it. */
  const settle = (): void => {
    state.waits = false;
    const { shop } = state.bench;
    const solved = solveText(jobNow());
    const read = shop === null ? undefined : readShop(shop.text, shop.name);
    if (shop !== null && read !== undefined) showForm(shopForm, 'shop', shop.text, read.ok ? read.warnings : read.findings);
    if (solved.ok) see.show(solved.value, mapOf(solved.value, read), inventedNow().size);
    say(solved, solved.ok ? tallyText(solved.value, words, true) : undefined);
    folds.job.count(state.bench.job.text);
    if (shop !== null) folds.shop.count(shop.text);
    const [ofJob, ofShop] = [inventedNow().size, shop === null ? 0 : ownIn(shopForm, shop.text).size];
    making.own([...(ofJob > 0 ? [words.make.jobOwn(ofJob)] : []), ...(ofShop > 0 ? [words.make.shopOwn(ofShop)] : [])]);
    fitting.show(solved.ok ? solved.value : undefined);
    // An empty sheet that nobody has written on is nothing to keep.
    desk.kept(state.bench === empty ? keep.works : keep.save(state.bench));
    desk.show(state.bench);
    mark();
  };
  const rest = restOf(REST_MS, settle);
  /** Until everything is worked out the strip is marked as busy: who has it read aloud hears the answer, not its drafts. */
  const mark = (): void =>
    byId('tally-said', HTMLParagraphElement).setAttribute('aria-busy', String(state.reads || rest.waits()));
  /** At most once a frame, however fast somebody types. */
  const soon = (): void => {
    making.changed();
    rest.again();
    mark();
    if (state.waits) return;
    state.waits = true;
    requestAnimationFrame(live);
  };

  const set = (bench: Bench): void => {
    state.bench = bench;
    soon();
  };
  const setJob = (text: string, fill: boolean): void => {
    set({ ...state.bench, job: { ...state.bench.job, text } });
    if (fill) jobForm.fill(text);
  };
  const setShop = (text: string, fill: boolean): void => {
    if (state.bench.shop === null) return;
    set({ ...state.bench, shop: { ...state.bench.shop, text } });
    if (fill) shopForm.fill(text);
  };
  const jobForm = makeForm({
    doc: 'job',
    groups: JOB_GROUPS,
    words,
    text: () => state.bench.job.text,
    change: (text) => setJob(text, false),
    unitChanged: (text) => setJob(reunited(jobForm, text), true),
  });
  const shopForm = makeForm({
    doc: 'shop',
    groups: SHOP_GROUPS,
    words,
    text: () => state.bench.shop?.text ?? '',
    change: (text) => setShop(text, false),
    unitChanged: (text) => setShop(reunited(shopForm, text), true),
  });

  const folds = { job: makeFolds('job', JOB_GROUPS, words), shop: makeFolds('shop', SHOP_GROUPS, words) };
  const fillAll = (bench: Bench): void => {
    jobForm.fill(bench.job.text);
    folds.job.count(bench.job.text);
    folds.job.open();
    if (bench.shop === null) return;
    shopForm.fill(bench.shop.text);
    folds.shop.count(bench.shop.text);
    folds.shop.open();
  };
  /** Other texts on the bench. */
  const lay = (bench: Bench): void => {
    set(bench);
    fillAll(bench);
    rest.now();
  };
  const print = (printing: boolean): void => {
    for (const each of [folds.job, folds.shop]) each.print(printing);
    see.draw(printing);
  };
  const desk = makeDesk(words, {
    starters,
    keep,
    emptyJob: EMPTY_JOB,
    bench: () => state.bench,
    /** Another job on the bench: the one before stays kept under its own key. */
    begin: (bench) => {
      keep.fork();
      lay(bench);
    },
    change: lay,
    useShop: (begun) => {
      // Whoever measures in inches has an inch shop.
      const text = withValue(begun, ['units'], unitOf(state.bench.job.text)) ?? begun;
      lay({ ...state.bench, shop: { name: 'my-shop.yaml', text: reunited(shopForm, text) } });
    },
    takeUp: (id) => {
      const bench = keep.takeUp(id);
      if (bench !== undefined) lay(bench);
    },
    setJob: (text) => setJob(text, true),
    setShop: (text) => setShop(text, true),
    reads: (reads) => {
      state.reads = reads;
      mark();
    },
  });

  byId('licences-box', HTMLDetailsElement).addEventListener('toggle', () => {
    byId('licences-text', HTMLPreElement).textContent = readJson<string>('licences');
  });
  matchMedia('(prefers-color-scheme: dark)').addEventListener('change', () => see.draw(false));
  addEventListener('beforeprint', () => print(true));
  addEventListener('afterprint', () => print(false));
  // What was typed last is kept, however soon the page goes.
  addEventListener('pagehide', rest.now);
  fillAll(state.bench);
  settle();
}
