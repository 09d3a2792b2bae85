import { parseDocument } from 'yaml';
import { nodeAt, quotedText, scalarText, sourceAt, withValue } from '../../job/editYaml.ts';
import { byId, make } from '../../preview/client/dom.ts';
import { elementId, type Field, type Group, pathOf } from '../fields.ts';
import { besideText, type Placed } from '../findings.ts';
import { onPage } from '../said.ts';
import type { Words } from '../words.ts';
import { placeRows } from './places.ts';

export interface Form {
  readonly fields: readonly Field[];
  /** Puts the text's values into the fields; the one that is being typed in stays as it is. */
  readonly fill: (text: string) => void;
  /** `own`: fields that still hold a starter's figures. */
  readonly show: (placed: Placed, own: ReadonlySet<string>) => void;
  readonly setUnit: (unit: string) => void;
}

interface Options {
  readonly doc: 'job' | 'shop';
  readonly groups: readonly Group[];
  readonly words: Words;
  readonly text: () => string;
  /** A field has changed the text. */
  readonly change: (text: string) => void;
  /** The unit for bare figures was changed, in a text that is otherwise as it was. */
  readonly unitChanged: (text: string) => void;
}

const SPREAD = /\s*(?:±|\+\/-)\s*/;

/** The fields of a job or shop file on the page, as hands on its text: each change goes straight into it. */
export function makeForm({ doc, groups, words, text, change, unitChanged }: Options): Form {
  const fields = groups.flatMap((group) => group.fields);
  const input = (id: string): HTMLInputElement => byId(id, HTMLInputElement);
  const idOf = (field: Field): string => elementId(doc, field.id);
  const said = (field: Field): HTMLDivElement => byId(`${idOf(field)}-said`, HTMLDivElement);
  const box = (field: Field): HTMLDivElement => byId(`${idOf(field)}-field`, HTMLDivElement);
  const stuck = new Set<string>();
  const rows = new Map(
    fields
      .filter(({ kind }) => kind === 'places')
      .map((field) => [field.id, placeRows(idOf(field), words, () => put(field, places(field)))]),
  );

  const places = (field: Field): string | undefined => {
    const list = rows.get(field.id)?.values() ?? [];
    const item = ({ x, y }: { readonly x: string; readonly y: string }): string =>
      `{${[x === '' ? '' : `x: ${scalarText(x)}`, y === '' ? '' : `y: ${scalarText(y)}`].filter((each) => each !== '').join(', ')}}`;
    return list.length === 0 ? undefined : `[${list.map(item).join(', ')}]`;
  };

  /** What stands in an entry and, where there is one, behind its ±, as YAML. */
  const entryText = (id: string): string | undefined => {
    const value = input(id).value.trim();
    const more = document.getElementById(`${id}-pm`) instanceof HTMLInputElement ? input(`${id}-pm`).value.trim() : '';
    if (value === '') return undefined;
    return scalarText(more === '' ? value : `${value} ± ${more}`);
  };

  const put = (field: Field, value: string | undefined, path: readonly string[] = pathOf(field)): void => {
    const next = withValue(text(), path, value);
    if (next === undefined) stuck.add(field.id);
    else {
      stuck.delete(field.id);
      if (field.id === 'units') unitChanged(next);
      else change(next);
    }
    if (next === undefined) said(field).replaceChildren(make('p', words.files.cannotEdit));
  };

  const isApart = (field: Field): boolean => input(`${idOf(field)}-apart`).checked;
  const showApart = (field: Field, apart: boolean): void => {
    input(`${idOf(field)}-apart`).checked = apart;
    box(field).querySelector('.one')?.classList.toggle('hidden', apart);
    box(field).querySelector('.two')?.classList.toggle('hidden', !apart);
  };

  const putPair = (field: Field): void => {
    const id = idOf(field);
    const [a, b] = field.pair ?? ['bass', 'treble'];
    if (!isApart(field)) {
      put(field, entryText(id));
      return;
    }
    const values = [
      [a, entryText(`${id}-a`)],
      [b, entryText(`${id}-b`)],
    ] as const;
    const given = values.filter(([, value]) => value !== undefined);
    const inner = given.map(([key, value]) => `${key}: ${value}`).join(', ');
    put(field, given.length === 0 ? undefined : `{${inner}}`);
  };

  const read = (field: Field): void => {
    const id = idOf(field);
    if (field.kind === 'choice') {
      const { value } = byId(id, HTMLSelectElement);
      put(field, value === '' ? undefined : value);
    } else if (field.kind === 'text') {
      const { value } = input(id);
      put(field, value.trim() === '' ? undefined : quotedText(value.trim()));
    } else if (field.kind === 'list') {
      const parts = input(id)
        .value.split(',')
        .map((part) => part.trim());
      const filled = parts.filter((part) => part !== '');
      if (filled.length === 0) put(field, undefined);
      else put(field, parts.length === 1 ? scalarText(parts[0] ?? '') : `[${filled.map(scalarText).join(', ')}]`);
    } else if (field.kind === 'pair') putPair(field);
    else if (field.kind === 'places') put(field, places(field));
    else put(field, entryText(id));
  };

  const setValue = (id: string, value: string): void => {
    const element = input(id);
    if (document.activeElement !== element) element.value = value;
  };
  const setEntry = (id: string, value: string): void => {
    const spread = document.getElementById(`${id}-pm`);
    if (!(spread instanceof HTMLInputElement)) {
      setValue(id, value);
      return;
    }
    const [first = '', more = ''] = value.split(SPREAD);
    setValue(id, first);
    setValue(`${id}-pm`, more);
  };

  for (const field of fields) {
    const element = box(field);
    element.addEventListener('input', (event) => {
      if (field.kind === 'places') return;
      if (field.kind === 'pair' && event.target === input(`${idOf(field)}-apart`)) {
        const id = idOf(field);
        showApart(field, isApart(field));
        // What stands for both serves either side until it is changed.
        if (isApart(field)) {
          for (const side of ['a', 'b'] as const)
            if (input(`${id}-${side}`).value === '') {
              setValue(`${id}-${side}`, input(id).value);
              setValue(`${id}-${side}-pm`, input(`${id}-pm`).value);
            }
        } else if (input(id).value === '') {
          setValue(id, input(`${id}-a`).value);
          setValue(`${id}-pm`, input(`${id}-a-pm`).value);
        }
      }
      read(field);
    });
  }

  return {
    fields,
    fill: (now) => {
      const parsed = parseDocument(now);
      for (const field of fields) {
        const id = idOf(field);
        const path = pathOf(field);
        const source = sourceAt(parsed, path) ?? '';
        if (field.kind === 'choice') byId(id, HTMLSelectElement).value = source;
        else if (field.kind === 'list') {
          const node = nodeAt(parsed, path) as { readonly items?: readonly unknown[] } | undefined;
          const items = node?.items?.map((_, i) => sourceAt(parsed, [...path, i]) ?? '') ?? [];
          setValue(id, items.length > 0 ? items.join(', ') : source);
        } else if (field.kind === 'places') {
          const node = nodeAt(parsed, path) as { readonly items?: readonly unknown[] } | undefined;
          rows.get(field.id)?.fill(
            (node?.items ?? []).map((_, i) => ({
              x: sourceAt(parsed, [...path, i, 'x']) ?? '',
              y: sourceAt(parsed, [...path, i, 'y']) ?? '',
            })),
          );
        } else if (field.kind === 'pair') {
          const [a, b] = (field.pair ?? ['bass', 'treble']).map((key) => sourceAt(parsed, [...path, key]));
          const apart = a !== undefined || b !== undefined;
          // While both entries are being emptied they stay where they are.
          const isTyped = box(field).contains(document.activeElement);
          if (!isTyped) showApart(field, apart || (source === '' && field.apart === true));
          setEntry(id, source);
          setEntry(`${id}-a`, a ?? '');
          setEntry(`${id}-b`, b ?? '');
        } else if (field.kind === 'text') setValue(id, source);
        else setEntry(id, source);
      }
    },
    show: ({ at, missing }, own) => {
      for (const field of fields) {
        box(field).querySelector('.own')?.classList.toggle('hidden', !own.has(field.id));
        if (stuck.has(field.id)) continue;
        const found = at.get(field.id) ?? [];
        const wrong = found.some(({ severity }) => severity === 'error');
        box(field).classList.toggle('wrong', wrong);
        box(field).classList.toggle('filled', field.needed !== 'no' && !missing.has(field.id));
        for (const element of box(field).querySelectorAll('input:not([type=checkbox]), select'))
          if (wrong) element.setAttribute('aria-invalid', 'true');
          else element.removeAttribute('aria-invalid');
        const texts = found.map((finding) => `${finding.severity} ${onPage(besideText(finding), words)}`);
        const now = [...said(field).children].map((child) => `${child.className} ${child.textContent}`);
        if (texts.join('\n') === now.join('\n')) continue;
        said(field).replaceChildren(
          ...found.map((finding) => {
            const line = make('p', onPage(besideText(finding), words));
            line.className = finding.severity;
            line.dataset.code = finding.code;
            return line;
          }),
        );
        const folded = box(field).closest('details');
        if (found.length > 0 && folded !== null) folded.open = true;
      }
    },
    setUnit: (unit) => {
      for (const field of fields) {
        const hasUnit = !['whole', 'number', 'text', 'choice', 'degrees', 'places'].includes(field.kind);
        for (const element of box(field).querySelectorAll('.unit'))
          element.textContent = hasUnit ? unit : field.kind === 'degrees' ? '°' : '';
      }
    },
  };
}
