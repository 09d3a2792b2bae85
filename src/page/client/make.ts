import type { Drawing } from '../../guide/drawing.ts';
import { guidePart } from '../../guideJob.ts';
import { readShop } from '../../job/readShop.ts';
import type { Finding } from '../../kernel/findings.ts';
import { pdfBytes } from '../../pdfJob.ts';
import { makeAll } from '../../pipeline.ts';
import { byId, make } from '../../preview/client/dom.ts';
import { pageWithoutPrograms } from '../../previewJob.ts';
import { outcomeJson } from '../../report/json.ts';
import type { Outcome } from '../../report/outcome.ts';
import { outcomeText } from '../../report/words.ts';
import { type Named, solveText } from '../../solveJob.ts';
import { spokenText } from '../findings.ts';
import { onPage } from '../said.ts';
import type { Words } from '../words.ts';
import { saveFile } from './files.ts';
import { findingLine } from './goTo.ts';
import { shimFiles } from './shims.ts';

interface MadeFile {
  readonly name: string;
  readonly content: string | Uint8Array;
}

interface MadeFiles {
  readonly files: readonly MadeFile[];
  /** Why there is no router program though a shop file was given. */
  readonly refused: readonly Finding[];
  readonly notes: readonly string[];
}

async function withPdf(files: readonly MadeFile[], sheets: readonly Drawing[], { fingerprint }: Outcome): Promise<MadeFile[]> {
  if (sheets.length === 0) return [...files];
  return [...files, { name: 'guide.pdf', content: await pdfBytes(sheets, `Guide to job ${fingerprint}`) }];
}

/** What stands without a program: as `solve`, `guide` and `preview` write it. */
async function withoutPrograms(job: Named, shop: Named | undefined, refused: readonly Finding[]): Promise<MadeFiles> {
  const solved = solveText(job);
  if (!solved.ok) return { files: [], refused: solved.findings, notes: [] };
  const outcome = solved.value;
  const read = shop === undefined ? undefined : readShop(shop.text, shop.file);
  const guide = outcome.floor.deepest > 0 && (read === undefined || read.ok) ? guidePart(outcome, read?.value) : undefined;
  const files: MadeFile[] = [
    { name: 'report.txt', content: outcomeText(outcome) },
    { name: 'report.json', content: `${JSON.stringify(outcomeJson(outcome), null, 2)}\n` },
    ...(guide?.ok ? guide.value.artifacts.map(({ name, text }) => ({ name, content: text })) : []),
    { name: 'preview.html', content: pageWithoutPrograms(outcome, shop !== undefined) },
    ...shimFiles(outcome),
  ];
  const guideTrouble = guide?.ok ? guide.warnings : (guide?.findings ?? []);
  return {
    files: await withPdf(files, guide?.ok ? guide.value.sheets : [], outcome),
    refused,
    notes: guideTrouble.map(spokenText),
  };
}

/** Every file of a job, as the command makes them. */
async function madeFiles(job: Named, shop: Named | undefined): Promise<MadeFiles> {
  const made = makeAll(job, shop);
  if (!made.ok) return withoutPrograms(job, shop, made.findings);
  const { artifacts, sheets, outcome, notes, warnings } = made.value;
  const files = [...artifacts.map(({ name, text }): MadeFile => ({ name, content: text })), ...shimFiles(outcome)];
  return { files: await withPdf(files, sheets, outcome), refused: [], notes: [...notes, ...warnings.map(spokenText)] };
}

const ORDER = ['guide.pdf', 'report.txt', 'preview.html', 'air.nc', 'trace.nc', 'floor.nc', 'rim-air.nc', 'rim.nc'];

function rank({ name }: MadeFile): number {
  const at = ORDER.indexOf(name);
  return at < 0 ? ORDER.length : at;
}

export interface Making {
  /** What of the files' figures is a starter's and invented, said below the button and above what is made. */
  readonly own: (lines: readonly string[]) => void;
  /** Something was changed: what was made no longer belongs to it. */
  readonly changed: () => void;
}

export function makeMaking(words: Words, sources: () => { readonly job: Named; readonly shop: Named | undefined }): Making {
  const box = byId('made', HTMLDivElement);
  const button = byId('make-now', HTMLButtonElement);
  const turn = { now: 0 };
  const invented: { lines: readonly string[] } = { lines: [] };
  const listOf = (lines: readonly string[]): HTMLUListElement => {
    const list = make('ul');
    list.append(...lines.map((line) => make('li', line)));
    return list;
  };
  const findingsOf = (findings: readonly Finding[]): HTMLUListElement => {
    const list = make('ul');
    list.append(...findings.map((finding) => findingLine(finding, words)));
    return list;
  };
  const show = ({ files, refused, notes }: MadeFiles): void => {
    const list = make('ul');
    list.className = 'made';
    for (const file of [...files].sort((a, b) => rank(a) - rank(b))) {
      const item = make('li');
      const save = make('button', words.make.save);
      save.type = 'button';
      save.dataset.file = file.name;
      save.setAttribute('aria-label', `${words.make.save} ${file.name}`);
      save.addEventListener('click', () => saveFile(file.name, file.content));
      const about = words.make.about[file.name] ?? (file.name.startsWith('guide') ? words.make.about.guide : '');
      const text = make('span', file.name);
      text.append(make('small', about));
      item.append(text, save);
      list.append(item);
    }
    const refusals = refused.length === 0 ? [] : [make('p', words.make.refused), findingsOf(refused)];
    for (const element of refusals) element.classList.add('refused');
    box.replaceChildren(
      ...refusals,
      list,
      make('p', words.make.printed),
      ...(notes.length > 0 ? [listOf(notes.map((note) => onPage(note, words)))] : []),
    );
  };
  button.addEventListener('click', async () => {
    turn.now += 1;
    const mine = turn.now;
    const { job, shop } = sources();
    const made = await madeFiles(job, shop);
    if (mine !== turn.now) return;
    if (made.files.length === 0) box.replaceChildren(make('p', words.make.none), findingsOf(made.refused));
    else show(made);
  });
  return {
    own: (lines) => {
      if (lines.join() === invented.lines.join()) return;
      invented.lines = lines;
      byId('make-own', HTMLDivElement).replaceChildren(...lines.map((line) => make('p', line)));
    },
    changed: () => {
      turn.now += 1;
      if (box.childElementCount > 0) box.replaceChildren(make('p', words.make.changed));
    },
  };
}
