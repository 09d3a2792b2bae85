import { parse } from 'yaml';
import { valueAt } from '../../job/yamlText.ts';
import { byId } from '../../preview/client/dom.ts';
import { foldedFields, foldId, type Group, pathOf } from '../fields.ts';
import type { Words } from '../words.ts';

export interface Folds {
  /** How many fields of each box hold something. */
  readonly count: (text: string) => void;
  /** Opens every box that holds something: what nobody sees is taken for nothing. */
  readonly open: () => void;
  /** Open for the print, and afterwards as they were. */
  readonly print: (printing: boolean) => void;
}

function dataOf(text: string): unknown {
  try {
    return parse(text);
  } catch {
    return undefined;
  }
}

/** The boxes in which the fields that may be left out lie folded away. */
export function makeFolds(doc: 'job' | 'shop', groups: readonly Group[], words: Words): Folds {
  const boxes = groups
    .filter((group) => foldedFields(group).length > 0)
    .map((group) => ({ box: byId(foldId(doc, group), HTMLDetailsElement), fields: foldedFields(group), filled: 0 }));
  const printed = new Set<HTMLDetailsElement>();
  return {
    count: (text) => {
      const data = dataOf(text);
      for (const each of boxes) {
        each.filled = each.fields.filter((field) => valueAt(data, pathOf(field)) !== undefined).length;
        const summary = each.box.querySelector('summary');
        const said = words.more(each.fields.length, each.filled);
        if (summary !== null && summary.textContent !== said) summary.textContent = said;
      }
    },
    open: () => {
      for (const { box, filled } of boxes) if (filled > 0) box.open = true;
    },
    print: (printing) => {
      for (const { box, filled } of boxes) {
        if (printing && filled > 0 && !box.open) {
          box.open = true;
          printed.add(box);
        } else if (!printing && printed.delete(box)) box.open = false;
      }
    },
  };
}
