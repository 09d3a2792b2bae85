// Jobs are kept in the browser under a key each. A browser may refuse that for a page opened from a file, or let all such pages share one
// store; a tab that finds its job written by another tab goes on under a key of its own, so that neither loses anything.

import { nowMs } from './clock.ts';

export interface TextFile {
  readonly name: string;
  readonly text: string;
}

/** All that the page works on. */
export interface Bench {
  readonly job: TextFile;
  readonly shop: TextFile | null;
  readonly drawing: TextFile | null;
}

export interface KeptJob {
  readonly id: string;
  readonly bench: Bench;
  /** Greater is later. */
  readonly turn: number;
  /** ms since 1970 at which it was last another; not known of jobs kept before this was noted. */
  readonly at: number | undefined;
}

/** An entry that cannot be read as a job. */
export interface BrokenJob {
  readonly id: string;
  readonly text: string;
}

const PREFIX = 'pocketpitch-bench-job-';
const TAB = 'pocketpitch-bench-tab';
/** More jobs than anybody has on the bench: the oldest go. */
const MOST_KEPT = 20;

function isTextFile(value: unknown): value is TextFile {
  const { name, text } = (value ?? {}) as { readonly name?: unknown; readonly text?: unknown };
  return typeof name === 'string' && typeof text === 'string';
}

function readEntry(text: string): Omit<KeptJob, 'id'> | undefined {
  try {
    const { format, turn, at, bench } = JSON.parse(text) as Partial<Record<'format' | 'turn' | 'at', unknown>> & {
      bench?: Partial<Bench>;
    };
    if (format !== 1 || typeof turn !== 'number' || !isTextFile(bench?.job)) return undefined;
    const { job, shop, drawing } = bench;
    const whole: Bench = {
      job,
      shop: isTextFile(shop) ? shop : null,
      drawing: isTextFile(drawing) ? drawing : null,
    };
    return { turn, at: typeof at === 'number' ? at : undefined, bench: whole };
  } catch {
    return undefined;
  }
}

/** The store, if there is one that takes anything. */
function storeOf(which: 'localStorage' | 'sessionStorage'): Storage | undefined {
  try {
    const store = window[which];
    store.setItem(`${PREFIX}try`, '');
    store.removeItem(`${PREFIX}try`);
    return store;
  } catch {
    return undefined;
  }
}

export class Keep {
  readonly works: boolean;
  readonly #store: Storage | undefined;
  readonly #tab: Storage | undefined;
  #id: string | undefined;

  constructor() {
    this.#store = storeOf('localStorage');
    this.#tab = storeOf('sessionStorage');
    this.works = this.#store !== undefined;
    this.#id = this.#tab?.getItem(TAB) ?? undefined;
    addEventListener('storage', ({ key }) => {
      if (key === this.#keyNow()) this.fork();
    });
  }

  #keyNow(): string | undefined {
    return this.#id === undefined ? undefined : PREFIX + this.#id;
  }

  #entries(): { readonly id: string; readonly text: string }[] {
    const store = this.#store;
    if (store === undefined) return [];
    return Array.from({ length: store.length }, (_, i) => store.key(i) ?? '')
      .filter((key) => key.startsWith(PREFIX))
      .map((key) => ({ id: key.slice(PREFIX.length), text: store.getItem(key) ?? '' }));
  }

  /** Latest first. */
  jobs(): KeptJob[] {
    return this.#entries()
      .flatMap(({ id, text }) => {
        const read = readEntry(text);
        return read === undefined ? [] : [{ id, ...read }];
      })
      .sort((a, b) => b.turn - a.turn);
  }

  broken(): BrokenJob[] {
    return this.#entries().filter(({ text }) => readEntry(text) === undefined);
  }

  isOwn(id: string): boolean {
    return id === this.#id;
  }

  /** This tab's own job, or the latest one. */
  takeUp(id?: string): Bench | undefined {
    const jobs = this.jobs();
    const found = jobs.find((job) => job.id === (id ?? this.#id)) ?? (id === undefined ? jobs[0] : undefined);
    if (found === undefined) return undefined;
    this.#setId(found.id);
    return found.bench;
  }

  #setId(id: string): void {
    this.#id = id;
    try {
      this.#tab?.setItem(TAB, id);
    } catch {
      // Without it a reload takes up the latest job instead.
    }
  }

  /** From now on under a key of its own. */
  fork(): void {
    const taken = this.#entries().map(({ id }) => Number(id) || 0);
    this.#setId(String(Math.max(0, ...taken) + 1));
  }

  /** Whether it could be kept. */
  save(bench: Bench): boolean {
    const store = this.#store;
    if (store === undefined) return false;
    if (this.#id === undefined) this.fork();
    const jobs = this.jobs();
    const turn = (jobs[0]?.turn ?? 0) + 1;
    const before = jobs.find(({ id }) => this.isOwn(id));
    const isSame = JSON.stringify(before?.bench) === JSON.stringify(bench);
    const at = isSame ? before?.at : nowMs();
    for (const { id } of jobs.slice(MOST_KEPT)) if (!this.isOwn(id)) this.remove(id);
    try {
      store.setItem(this.#keyNow() ?? '', JSON.stringify({ format: 1, turn, at, bench }));
      return true;
    } catch {
      return false;
    }
  }

  remove(id: string): void {
    this.#store?.removeItem(PREFIX + id);
  }
}
