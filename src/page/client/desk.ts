import { withValue } from '../../job/editYaml.ts';
import { drawingNamed } from '../../job/readJob.ts';
import { readYaml } from '../../job/yamlText.ts';
import { byId, make } from '../../preview/client/dom.ts';
import { type FileKind, isOfKind } from '../kind.ts';
import type { Starter } from '../sheets.ts';
import { begunWith } from '../starter.ts';
import type { Words } from '../words.ts';
import { dayAndTime } from './clock.ts';
import { openedFile, saveFile } from './files.ts';
import type { Bench, Keep } from './keep.ts';
import { showText } from './textBox.ts';

/** Of a shop file: what is never taken from a starter. */
const NOT_INVENTED = [
  ['cutter', 'diameter'],
  ['cutter', 'length'],
  ['program', 'units'],
] as const;

interface Hands {
  readonly starters: readonly Starter[];
  readonly keep: Keep;
  readonly emptyJob: string;
  readonly bench: () => Bench;
  /** Lays another job on the bench. */
  readonly begin: (bench: Bench) => void;
  /** Changes what lies there. */
  readonly change: (bench: Bench) => void;
  /** A shop file's text to begin with. */
  readonly useShop: (text: string) => void;
  readonly takeUp: (id: string) => void;
  readonly setJob: (text: string) => void;
  readonly setShop: (text: string) => void;
  /** Whether a file is being read at this moment. */
  readonly reads: (reads: boolean) => void;
}

interface Desk {
  readonly show: (bench: Bench) => void;
  readonly kept: (works: boolean) => void;
}

function titleOf(text: string, words: Words): string {
  const yaml = readYaml(text, '');
  const title = yaml.ok ? yaml.value.data.title : undefined;
  return typeof title === 'string' && title.trim() !== '' ? title : words.files.untitled;
}

/** Beginning, opening, saving and taking up again. */
export function makeDesk(words: Words, hands: Hands): Desk {
  const { keep, starters } = hands;
  const { files } = words;
  const button = (id: string): HTMLButtonElement => byId(id, HTMLButtonElement);
  const fileSaid = byId('file-said', HTMLParagraphElement);
  const shopSaid = byId('shop-said', HTMLParagraphElement);
  const starterText = (name: string): string => starters.find((starter) => starter.name === name)?.text ?? hands.emptyJob;

  button('begin').addEventListener('click', () => {
    const { value } = byId('starter', HTMLSelectElement);
    const name = value === '' ? 'my-job.yaml' : `${value}.yaml`;
    hands.begin({
      job: { name, text: value === '' ? hands.emptyJob : begunWith(value, starterText(value)) },
      shop: hands.bench().shop,
      drawing: null,
    });
  });
  const onOpen = (id: string, kind: FileKind, take: (file: { readonly name: string; readonly text: string }) => void): void => {
    const input = byId(id, HTMLInputElement);
    input.addEventListener('change', async () => {
      hands.reads(true);
      const opened = await openedFile(input).finally(() => hands.reads(false));
      if (opened === undefined) return;
      const isRight = opened.ok && isOfKind(opened.text, kind);
      fileSaid.textContent = !opened.ok ? files[opened.why] : isRight ? '' : files.noSuch[kind];
      shopSaid.textContent = kind === 'shop' ? fileSaid.textContent : '';
      if (opened.ok && isRight) take({ name: opened.name, text: opened.text });
    });
  };
  onOpen('open-job', 'job', (job) => hands.begin({ ...hands.bench(), job, drawing: null }));
  onOpen('open-drawing', 'drawing', (drawing) => hands.change({ ...hands.bench(), drawing }));
  onOpen('open-shop', 'shop', (shop) => hands.change({ ...hands.bench(), shop }));
  button('save-job').addEventListener('click', () => saveFile(hands.bench().job.name, hands.bench().job.text));
  button('use-shop').addEventListener('click', () => {
    // A program may only come from a cutter that somebody has measured, so the starter's invented one is left out.
    const text = NOT_INVENTED.reduce((all, path) => withValue(all, path, undefined) ?? all, starterText('shop'));
    hands.useShop(begunWith('shop', text));
  });
  button('save-shop').addEventListener('click', () => {
    const { shop } = hands.bench();
    if (shop !== null) saveFile(shop.name, shop.text);
  });
  button('leave-shop').addEventListener('click', () => hands.change({ ...hands.bench(), shop: null }));
  byId('job-text', HTMLTextAreaElement).addEventListener('input', ({ target }) =>
    hands.setJob((target as HTMLTextAreaElement).value),
  );
  byId('shop-text', HTMLTextAreaElement).addEventListener('input', ({ target }) =>
    hands.setShop((target as HTMLTextAreaElement).value),
  );

  const rowButton = (name: string, about: string, click: () => void): HTMLButtonElement => {
    const made = make('button', name);
    made.type = 'button';
    made.setAttribute('aria-label', `${name}: ${about}`);
    made.addEventListener('click', click);
    return made;
  };
  /** A button that asks once more, in its own place. */
  const thrownAway = (about: string, away: () => void): HTMLButtonElement => {
    const made: HTMLButtonElement = rowButton(files.throwAway, about, () => {
      if (made.textContent === files.forGood) {
        away();
        return;
      }
      made.textContent = files.forGood;
      made.setAttribute('aria-label', `${files.forGood}: ${about}`);
    });
    made.addEventListener('blur', () => {
      made.textContent = files.throwAway;
      made.setAttribute('aria-label', `${files.throwAway}: ${about}`);
    });
    return made;
  };
  const listed = { text: '' };
  const showKept = (): void => {
    const others = keep.jobs().filter(({ id }) => !keep.isOwn(id));
    byId('kept-box', HTMLDetailsElement).classList.toggle('hidden', others.length === 0);
    // A button that has asked once more must still be there for the answer.
    const text = JSON.stringify(others);
    if (text === listed.text) return;
    listed.text = text;
    byId('kept', HTMLUListElement).replaceChildren(
      ...others.map(({ id, bench, at }) => {
        const title = titleOf(bench.job.text, words);
        const item = make('li');
        const away = thrownAway(title, () => {
          keep.remove(id);
          showKept();
        });
        item.append(
          make('span', `${title} (${bench.job.name})${at === undefined ? '' : `, ${dayAndTime(at)}`}`),
          rowButton(files.takeUp, title, () => hands.takeUp(id)),
          away,
        );
        return item;
      }),
    );
  };
  const showBroken = (): void => {
    const box = byId('broken', HTMLDivElement);
    const found = keep.broken();
    box.classList.toggle('hidden', found.length === 0);
    box.replaceChildren(
      ...found.flatMap(({ id, text }) => {
        const area = make('textarea');
        area.rows = 8;
        area.readOnly = true;
        area.value = text;
        area.setAttribute('aria-label', files.broken);
        const row = make('p');
        row.className = 'buttons';
        const use = (): void => {
          hands.begin({ job: { name: 'my-job.yaml', text }, shop: hands.bench().shop, drawing: null });
          keep.remove(id);
          byId('job-text-box', HTMLDetailsElement).open = true;
          showBroken();
        };
        const away = (): void => {
          keep.remove(id);
          showBroken();
        };
        row.append(
          rowButton(files.useAsJob, id, use),
          rowButton(files.saveText, id, () => saveFile('kept-job.txt', text)),
          thrownAway(id, away),
        );
        return [make('p', files.broken), area, row];
      }),
    );
  };
  showBroken();
  return {
    show: ({ job, shop, drawing }) => {
      showText('job', job.text);
      if (shop !== null) showText('shop', shop.text);
      const named = drawingNamed(job.text);
      byId('drawing-label', HTMLLabelElement).classList.toggle('hidden', named === undefined);
      byId('drawing-name', HTMLSpanElement).textContent = drawing?.name ?? named?.name ?? '';
      button('use-shop').classList.toggle('hidden', shop !== null);
      for (const id of ['save-shop', 'leave-shop']) button(id).classList.toggle('hidden', shop === null);
      byId('no-shop', HTMLParagraphElement).classList.toggle('hidden', shop !== null);
      byId('shop-part', HTMLDivElement).classList.toggle('hidden', shop === null);
      // A text that is no YAML cannot be filled into fields: it is shown as it is.
      if (!readYaml(job.text, '').ok) byId('job-text-box', HTMLDetailsElement).open = true;
      showKept();
    },
    kept: (works) => {
      if (!works) fileSaid.textContent = files.notKept;
    },
  };
}
