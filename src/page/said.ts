import { JOB_GROUPS, SHOP_GROUPS } from './fields.ts';
import type { FieldWords } from './fieldWords.ts';
import type { Words } from './words.ts';

// The core speaks of keys and of the command's options; somebody at this page sees fields and buttons.

export interface FieldPlace {
  readonly doc: 'job' | 'shop';
  readonly id: string;
}

const PLACES: readonly FieldPlace[] = [
  ...JOB_GROUPS.flatMap(({ fields }) => fields.map(({ id }): FieldPlace => ({ doc: 'job', id }))),
  ...SHOP_GROUPS.flatMap(({ fields }) => fields.map(({ id }): FieldPlace => ({ doc: 'shop', id }))),
];
/** Keys with a dot mean one field only; the others are words of every day. */
const KEYS = new RegExp(
  `(^|[^\\w.])(${PLACES.map(({ id }) => id)
    .filter((id) => id.includes('.'))
    .sort((a, b) => b.length - a.length)
    .map((id) => id.replaceAll('.', '\\.'))
    .join('|')})(?![\\w])(?:\\[(\\d+)\\])?(?:\\.(bass|treble|atNut|atLastFret|x|y)\\b)?`,
  'g',
);

function wordsOf({ doc, id }: FieldPlace, words: Words): FieldWords | undefined {
  return (doc === 'job' ? words.fields : words.shopFields)[id];
}

/** What a field is called on the page. */
export function nameOf(place: FieldPlace, words: Words): string {
  return wordsOf(place, words)?.name ?? place.id;
}

/** The field that a text speaks of first. */
export function fieldIn(text: string): FieldPlace | undefined {
  const [, , id] = new RegExp(KEYS.source).exec(text) ?? [];
  return PLACES.find((place) => place.id === id);
}

/** A text of the core in the page's own words: fields by their names, and what to press in the place of what to type. */
export function onPage(text: string, words: Words): string {
  const said = words.inPlaceOf.reduce((all, [commands, own]) => all.replaceAll(commands, own), text);
  return said.replace(KEYS, (_, before: string, id: string, item?: string, part?: string) => {
    const place = PLACES.find((each) => each.id === id) ?? { doc: 'job', id };
    const more = [item, part === undefined ? undefined : (words.pairs[part as keyof Words['pairs']] ?? part)].filter(Boolean);
    return `${before}\u201c${nameOf(place, words)}\u201d${more.length === 0 ? '' : ` (${more.join(', ')})`}`;
  });
}
