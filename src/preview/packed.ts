import { deflateSync, inflateSync, strFromU8, strToU8 } from 'fflate';

/** A text as it stands, or, where it is long, deflated (RFC 1951) and written in base64 (RFC 4648). */
export type Packed = string | { readonly packed: string };

/** Letters up to which a program stands in the page as it is: nothing is gained by hiding an ordinary one. */
const PLAIN_UP_TO = 120_000;
/** Bytes turned into letters at once: a call takes no more arguments than some ten thousands. */
const CHUNK = 0x8000;

function base64(bytes: Uint8Array): string {
  let letters = '';
  for (let i = 0; i < bytes.length; i += CHUNK) letters += String.fromCharCode(...bytes.subarray(i, i + CHUNK));
  return btoa(letters);
}

/** Programs repeat themselves, so that a long one takes a sixth of its room. One with letters beyond ASCII is left as it is. */
export function packText(text: string): Packed {
  // biome-ignore lint/suspicious/noControlCharactersInRegex: all of ASCII is meant
  if (text.length <= PLAIN_UP_TO || !/^[\x00-\x7f]*$/.test(text)) return text;
  return { packed: base64(deflateSync(strToU8(text, true), { level: 9 })) };
}

/** The text to the letter. */
export function unpackText(text: Packed): string {
  if (typeof text === 'string') return text;
  const letters = atob(text.packed);
  const bytes = new Uint8Array(letters.length);
  for (let i = 0; i < letters.length; i++) bytes[i] = letters.charCodeAt(i);
  return strFromU8(inflateSync(bytes), true);
}
