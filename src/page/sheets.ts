import { html, type Markup, NOTHING } from '../preview/html.ts';
import { fieldDrawing } from './fieldDrawings.ts';
import { elementId, type Field, foldedFields, foldId, type Group, JOB_GROUPS, openFields, SHOP_GROUPS } from './fields.ts';
import type { Words } from './words.ts';

// The page as it stands before its script has run: every field, and the places where answers come.

type Doc = 'job' | 'shop';

function entry(id: string, name: string, words: Words, withSpread: boolean, describedBy: string, label: string): Markup {
  const spread = withSpread
    ? html`<span class="spread"><span aria-hidden="true">${words.plusMinus}</span><input id="${id}-pm" class="pm" autocomplete="off" autocapitalize="off" spellcheck="false" aria-label="${name}, ${words.plusMinusOf}" title="${words.plusMinusSaid}"></span>`
    : NOTHING;
  return html`<span class="entry"><input id="${id}" autocomplete="off" autocapitalize="off" spellcheck="false" aria-label="${label}" aria-describedby="${describedBy}">${spread}<span class="unit" aria-hidden="true"></span></span>`;
}

function control(doc: Doc, field: Field, name: string, words: Words): Markup {
  const id = elementId(doc, field.id);
  const by = `${id}-how ${id}-said`;
  switch (field.kind) {
    case 'choice':
      return html`<select id="${id}" aria-label="${name}" aria-describedby="${by}"><option value="">${words.notSet}</option>${(field.choices ?? []).map((choice) => html`<option value="${choice}">${words.choices[choice] ?? choice}</option>`)}</select>`;
    case 'pair': {
      const [a, b] = field.pair ?? ['bass', 'treble'];
      const said = (key: string): string => words.pairs[key as keyof Words['pairs']] ?? key;
      return html`<span class="one">${entry(id, name, words, true, by, name)}</span><span class="two hidden"><span class="side">${said(a)}</span>${entry(`${id}-a`, `${name}, ${said(a)}`, words, true, by, `${name}, ${said(a)}`)}<span class="side">${said(b)}</span>${entry(`${id}-b`, `${name}, ${said(b)}`, words, true, by, `${name}, ${said(b)}`)}</span><label class="apart"><input type="checkbox" id="${id}-apart"> ${words.apart}: ${said(a)}, ${said(b)}</label>`;
    }
    case 'places':
      return html`<span class="places" id="${id}"></span><span class="buttons"><button type="button" id="${id}-add">${words.addPlace}</button><button type="button" id="${id}-less">${words.removePlace}</button></span>`;
    default:
      return entry(id, name, words, field.kind === 'length' || field.kind === 'degrees', by, name);
  }
}

function fieldMarkup(doc: Doc, field: Field, words: Words): Markup {
  const id = elementId(doc, field.id);
  const { name, how } = (doc === 'job' ? words.fields : words.shopFields)[field.id] ?? { name: field.id, how: '' };
  const drawing = fieldDrawing(field.id);
  const tag =
    field.needed === 'no' ? NOTHING : html` <span class="tag">${field.needed === 'yes' ? words.needed : words.neededOr}</span>`;
  return html`<div class="field ${drawing === undefined ? 'plain' : ''}" id="${id}-field" data-doc="${doc}" data-field="${field.id}" data-kind="${field.kind}">${drawing ?? NOTHING}<div class="ask"><h4>${name}${tag}<span class="own hidden">${words.startersOwn}</span></h4><p class="how" id="${id}-how">${how}</p>${control(doc, field, name, words)}<div class="finding" id="${id}-said" aria-live="polite"></div></div></div>`;
}

/** Fields of a group; those that may be left out fold away. */
function groupMarkup(doc: Doc, group: Group, words: Words): Markup {
  const { name, lead } = words.groups[group.id] ?? { name: group.id, lead: '' };
  const [first, rest] = [openFields(group), foldedFields(group)];
  const folded =
    rest.length === 0
      ? NOTHING
      : html`<details class="more" id="${foldId(doc, group)}"><summary>${words.more(rest.length, 0)}</summary><div class="fields">${rest.map((field) => fieldMarkup(doc, field, words))}</div></details>`;
  return html`<section class="group" aria-labelledby="${doc}-group-${group.id}"><h3 id="${doc}-group-${group.id}">${name}</h3><p>${lead}</p>${group.id === 'target' ? html`<p class="aim">${words.aim}</p>` : NOTHING}<div class="fields ${group.id === 'job' || group.id === 'paper' ? 'compact' : ''}">${first.map((field) => fieldMarkup(doc, field, words))}</div>${folded}</section>`;
}

function textBox(doc: Doc, title: string, how: string): Markup {
  return html`<details class="more" id="${doc}-text-box"><summary>${title}</summary><p id="${doc}-text-how">${how}</p><textarea id="${doc}-text" rows="24" spellcheck="false" autocapitalize="off" aria-label="${title}" aria-describedby="${doc}-text-how"></textarea><ul class="all-findings" id="${doc}-findings" aria-live="polite"></ul></details>`;
}

export interface Starter {
  readonly name: string;
  readonly about: string;
  readonly text: string;
}

function filesPart(words: Words, starters: readonly Starter[]): Markup {
  const { files } = words;
  const options = starters
    .filter(({ name }) => name !== 'shop')
    .map(({ name, about }) => html`<option value="${name}">${about}</option>`);
  return html`<section class="group" aria-labelledby="files-title"><h3 id="files-title">${files.title}</h3><p>${files.lead}</p>
<div class="controls"><label>${files.starter} <select id="starter"><option value="">${files.emptySheet}</option>${options}</select></label><button type="button" id="begin">${files.begin}</button>
<label class="file">${files.open}<input type="file" id="open-job" accept=".yaml,.yml,text/*"></label><button type="button" id="save-job">${files.save}</button>
<label class="file hidden" id="drawing-label" for="open-drawing">${files.openDrawing} <span id="drawing-name"></span><input type="file" id="open-drawing" accept=".svg"></label></div>
<p id="file-said" role="status"></p>
<div id="broken" class="hidden" role="alert"></div>
<details class="more hidden" id="kept-box"><summary>${files.kept}</summary><p>${files.keptHow}</p><ul class="kept" id="kept"></ul></details></section>`;
}

export interface PageSheet {
  readonly id: string;
  readonly title: string;
  readonly body: Markup;
}

export function measureSheet(words: Words, starters: readonly Starter[]): PageSheet {
  return {
    id: 'measure',
    title: words.sheets.measure,
    body: html`${filesPart(words, starters)}
${JOB_GROUPS.map((group) => groupMarkup('job', group, words))}
<section class="group">${textBox('job', words.files.text, words.files.textHow)}</section>`,
  };
}

export function seeSheet(words: Words): PageSheet {
  return {
    id: 'see',
    title: words.sheets.see,
    body: html`<p class="aim">${words.aim}</p><p id="stale" class="hidden" role="status">${words.see.stale}</p><div id="waiting"><p>${words.see.waiting}</p></div><div id="answer"></div>
<div id="strings-part" class="hidden"><h3>${words.see.strings}</h3><div id="strings-body"></div></div>
<div id="floor-part" class="hidden"><h3>${words.see.floor}</h3><div id="floor-body"></div></div><div id="figures"></div><div id="cures"></div>`,
  };
}

export function makeSheet(words: Words): PageSheet {
  const { make } = words;
  return {
    id: 'make',
    title: words.sheets.make,
    body: html`<p>${make.lead}</p>
<div class="controls"><button type="button" id="use-shop">${make.useShop}</button><label class="file">${make.openShop}<input type="file" id="open-shop" accept=".yaml,.yml,text/*"></label><button type="button" id="save-shop" class="hidden">${make.saveShop}</button><button type="button" id="leave-shop" class="hidden">${make.leaveShop}</button></div>
<p id="shop-said" role="status"></p>
<p id="no-shop">${make.noShop}</p>
<div id="shop-part" class="hidden">${SHOP_GROUPS.map((group) => groupMarkup('shop', group, words))}<section class="group">${textBox('shop', words.files.shopText, words.files.textHow)}</section></div>
<p><button type="button" id="make-now" class="main">${make.now}</button></p>
<div id="make-own" role="status"></div>
<div id="made" aria-live="polite"></div>`,
  };
}

function fitEntry(id: string, name: string, how: string, words: Words, kind: 'pair' | 'length' | 'text'): Markup {
  const part = (key: string, side: string): Markup =>
    html`${side === '' ? NOTHING : html`<span class="side">${side}</span>`}<span class="entry"><input id="${key}" autocomplete="off" autocapitalize="off" spellcheck="false" aria-label="${side === '' ? name : `${name}, ${side}`}" aria-describedby="${id}-how">${kind !== 'text' ? html`<span class="unit" aria-hidden="true"></span>` : NOTHING}</span>`;
  return html`<div class="field plain"><div class="ask"><h4>${name}</h4><p class="how" id="${id}-how">${how}</p>${kind === 'pair' ? html`<span class="two">${part(`${id}-bass`, words.pairs.bass)}${part(`${id}-treble`, words.pairs.treble)}</span>` : part(id, '')}</div></div>`;
}

export function fitSheet(words: Words): PageSheet {
  const { fit } = words;
  return {
    id: 'fit',
    title: words.sheets.fit,
    body: html`<p>${fit.lead}</p><p id="fit-first">${fit.first}</p><div id="fit-part" class="hidden">
<div class="fields">${fitEntry('fit-depth', fit.depth, '', words, 'pair')}${fitEntry('fit-gap', fit.gap, fit.gapHow, words, 'pair')}${fitEntry('fit-raised', fit.raised, fit.raisedHow, words, 'pair')}${fitEntry('fit-lowest', fit.lowest, fit.lowestHow, words, 'length')}${fitEntry('fit-highest', fit.highest, fit.highestHow, words, 'length')}${fitEntry('fit-shim', fit.shim, fit.shimHow, words, 'length')}${fitEntry('fit-note', fit.note, '', words, 'text')}${fitEntry('fit-on', fit.on, fit.onHow, words, 'text')}</div>
<p class="buttons"><button type="button" id="fit-add" class="main">${fit.add}</button><button type="button" id="fit-undo">${fit.undo}</button></p>
<div id="fit-said" role="status"></div><div id="fit-plot"></div><div id="fit-table"></div></div>`,
  };
}

/** The list of SAFETY.md as markup: `- **first words** rest`. */
export function mindSheet(words: Words, safety: string): PageSheet {
  const items = [...safety.matchAll(/^- (.*)$/gm)].map(([, line]) => {
    const [, strong = '', rest = ''] = /^\*\*(.*?)\*\*(.*)$/.exec(line ?? '') ?? [];
    return strong === '' ? html`<li>${line ?? ''}</li>` : html`<li><strong>${strong}</strong>${rest}</li>`;
  });
  if (items.length === 0) throw new Error('SAFETY.md has no list to show');
  return {
    id: 'mind',
    title: words.sheets.mind,
    body: html`<section class="cautions" aria-labelledby="cautions-title"><h3 id="cautions-title">${words.mind}</h3><ul>${items}</ul></section><details class="more" id="licences-box"><summary>${words.licences}</summary><pre id="licences-text"></pre></details>`,
  };
}
