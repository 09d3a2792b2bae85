import { make } from '../../preview/client/dom.ts';

/** A job is a few kB and a drawing not much more (characters). */
const LONGEST = 1_000_000;

/** Gives a file to the one who asked: nothing leaves the page but by their hand. */
export function saveFile(name: string, content: string | Uint8Array): void {
  const type = name.endsWith('.html') ? 'text/html' : name.endsWith('.pdf') ? 'application/pdf' : 'text/plain';
  const url = URL.createObjectURL(new Blob([content as BlobPart], { type }));
  const link = make('a');
  link.href = url;
  link.download = name;
  link.click();
  // The browser has taken hold of it by then.
  setTimeout(() => URL.revokeObjectURL(url), 10_000);
}

export type Opened =
  | { readonly ok: true; readonly name: string; readonly text: string }
  | { readonly ok: false; readonly why: 'notUtf8' | 'tooLong' };

/** The text of a file that was chosen, as the command reads it: UTF-8 without a byte-order mark. */
export async function openedFile(input: HTMLInputElement): Promise<Opened | undefined> {
  const file = input.files?.[0];
  if (file === undefined) return undefined;
  const bytes = await file.arrayBuffer();
  // The same file may be chosen again.
  input.value = '';
  if (bytes.byteLength > LONGEST) return { ok: false, why: 'tooLong' };
  try {
    return { ok: true, name: file.name, text: new TextDecoder('utf-8', { fatal: true }).decode(bytes) };
  } catch {
    return { ok: false, why: 'notUtf8' };
  }
}
